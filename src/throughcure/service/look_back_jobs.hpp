// Which job works a look-back through, for as long as the program runs.
#pragma once

#include <cstdint>
#include <map>
#include <mutex>
#include <string>
#include <utility>

namespace throughcure::service {

/// Safe from any thread.
class LookBackJobs {
 public:
  /// By the job's name.
  void computing(std::int64_t look_back, std::string job) {
    const std::scoped_lock lock(mutex_);
    jobs_.insert_or_assign(look_back, std::move(job));
  }
  /// Empty: none.
  [[nodiscard]] std::string job_of(std::int64_t look_back) const {
    const std::scoped_lock lock(mutex_);
    const auto at = jobs_.find(look_back);
    return at == jobs_.end() ? std::string() : at->second;
  }

 private:
  mutable std::mutex mutex_;
  std::map<std::int64_t, std::string> jobs_;
};

}  // namespace throughcure::service
