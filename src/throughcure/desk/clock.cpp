#include "throughcure/desk/clock.hpp"

#include <algorithm>
#include <chrono>
#include <cstdint>

namespace throughcure::desk {

namespace {

constexpr std::chrono::minutes kMayBeOff{1};
// Looked at from the log's end: what was written since the clock went wrong is not ahead of it.
constexpr std::uint64_t kLookedAt = 1000;

/// "2026-01-05 08:00 UTC".
std::string minute_of(base::Instant at) {
  const std::string text = base::instant_text(at);
  return text.substr(0, 10) + " " + text.substr(11, 5) + " UTC";
}

}  // namespace

std::string clock_behind(const store::Reader& reader, base::Instant now) {
  const std::uint64_t size = reader.log_sizes().settled;
  base::Instant latest = base::kEarliestInstant;
  const std::uint64_t first = size > kLookedAt ? size - kLookedAt + 1 : 1;
  reader.each_change(first, kLookedAt, [&](const practice::Change& change) { latest = std::max(latest, change.at); });
  if (latest <= now + kMayBeOff) return {};
  return "The clock of this computer is behind its own log: it says " + minute_of(now) + ", and a change of " +
         minute_of(latest) + " is in the log. Set the clock of this computer.";
}

}  // namespace throughcure::desk
