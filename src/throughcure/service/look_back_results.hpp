// What look-backs have been recomputed to, for as long as the program runs.
#pragma once

#include <map>
#include <mutex>
#include <optional>
#include <string>

#include "throughcure/base/kinds.hpp"

namespace throughcure::service {

/// Safe from any thread. A result belongs to one revision of a restoration in one look-back.
class LookBackResults {
 public:
  struct Key {
    std::int64_t look_back = 0;
    std::int64_t restoration = 0;
    std::int64_t revision = 0;
    friend auto operator<=>(const Key&, const Key&) = default;
  };
  /// Chance that it was under-cured, or why it cannot be said.
  struct Result {
    std::optional<double> chance;
    std::string why_not;
  };

  void keep(const Key& key, Result result) {
    const std::scoped_lock lock(mutex_);
    results_.insert_or_assign(key, std::move(result));
  }
  [[nodiscard]] std::optional<Result> find(const Key& key) const {
    const std::scoped_lock lock(mutex_);
    const auto at = results_.find(key);
    if (at == results_.end()) return std::nullopt;
    return at->second;
  }
  /// The job that computes a look-back, by its name; empty: none.
  void computing(std::int64_t look_back, std::string job) {
    const std::scoped_lock lock(mutex_);
    jobs_.insert_or_assign(look_back, std::move(job));
  }
  [[nodiscard]] std::string job_of(std::int64_t look_back) const {
    const std::scoped_lock lock(mutex_);
    const auto at = jobs_.find(look_back);
    return at == jobs_.end() ? std::string() : at->second;
  }

 private:
  mutable std::mutex mutex_;
  std::map<Key, Result> results_;
  std::map<std::int64_t, std::string> jobs_;
};

}  // namespace throughcure::service
