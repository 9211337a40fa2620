#include "throughcure/service/recurring.hpp"

#include <utility>

namespace throughcure::service {

Recurring::Recurring(std::chrono::milliseconds after, std::function<void()> work)
    : thread_([this, after, work = std::move(work)](const std::stop_token& stop) {
        while (!stop.stop_requested()) {
          work();
          std::unique_lock lock(mutex_);
          ended_.wait_for(lock, stop, after, [] { return false; });
        }
      }) {}

Recurring::~Recurring() = default;

}  // namespace throughcure::service
