#include "throughcure/base/parallel.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

#include "throughcure/base/problem.hpp"

namespace throughcure::base {

unsigned hardware_threads() { return std::max(1U, std::thread::hardware_concurrency()); }

void for_each_batch(std::size_t count, const Running& running, std::string_view what,
                    const std::function<void(std::size_t)>& batch) {
  std::atomic<std::size_t> next{0};
  std::mutex mutex;
  std::size_t done = 0;
  std::exception_ptr first_error;

  const auto work = [&] {
    try {
      while (true) {
        if (running.stop.stop_requested()) throw Interrupted();
        const std::size_t i = next.fetch_add(1);
        if (i >= count) return;
        batch(i);
        const std::scoped_lock lock(mutex);
        ++done;
        if (running.progress) running.progress(static_cast<double>(done) / static_cast<double>(count), what);
      }
    } catch (...) {
      const std::scoped_lock lock(mutex);
      if (!first_error) first_error = std::current_exception();
      next.store(count);
    }
  };

  const auto threads = std::min<std::size_t>(std::max(1U, running.threads), std::max<std::size_t>(1, count));
  {
    std::vector<std::jthread> others;
    others.reserve(threads - 1);
    for (std::size_t t = 1; t < threads; ++t) others.emplace_back(work);
    work();
  }
  if (first_error) std::rethrow_exception(first_error);
}

}  // namespace throughcure::base
