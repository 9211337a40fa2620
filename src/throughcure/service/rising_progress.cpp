#include "throughcure/service/rising_progress.hpp"

#include <algorithm>
#include <utility>

namespace throughcure::service {

RisingProgress::RisingProgress(const base::Running& whole) : whole_(whole) {}

base::Running RisingProgress::part(std::string words, double until, unsigned steps) {
  base::Running running{whole_.threads, whole_.stop, {}};
  const double from = std::exchange(from_, until);
  if (!whole_.progress) return running;
  whole_.progress(from, words);
  // A step ends where the next one's count begins again.
  running.progress = [tell = whole_.progress, words = std::move(words), until, piece = 1.0 / std::max(1U, steps),
                      begun = from, last = 0.0](double share, std::string_view what) mutable {
    if (share < last) begun += (until - begun) * piece;
    last = share;
    tell(begun + (until - begun) * piece * share, words.empty() ? what : words);
  };
  return running;
}

}  // namespace throughcure::service
