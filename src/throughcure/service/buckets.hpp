// How often something may be done: of each who does it, so many at once, and one more each so long.
#pragma once

#include <chrono>
#include <cstddef>
#include <map>
#include <mutex>
#include <string_view>

#include "throughcure/service/sessions.hpp"
#include "throughcure/service/token.hpp"

namespace throughcure::service {

struct BucketRules {
  unsigned burst = 20;           ///< at once
  std::chrono::seconds pace{6};  ///< and one more each so long
  std::size_t most = 4096;       ///< of whom it is remembered; the fullest give way
};

/// A bucket for each name, in memory; keeps fingerprints. Safe to call from any thread.
class Buckets {
 public:
  explicit Buckets(BucketRules rules = {}) : rules_(rules) {}

  /// How long until one may be taken, rounded up; 0: now.
  [[nodiscard]] std::chrono::seconds wait(std::string_view of, Instant now);
  /// Takes one where one may be taken; else how long until then.
  std::chrono::seconds take(std::string_view of, Instant now);

  /// How many names are remembered.
  [[nodiscard]] std::size_t size() const;

 private:
  /// When the bucket would be full again after one more was taken.
  Instant full_after_one(const Fingerprint& of, Instant now);
  void make_room(Instant now);

  BucketRules rules_;
  mutable std::mutex mutex_;
  std::map<Fingerprint, Instant> full_again_;  ///< when all of its burst is there again
};

}  // namespace throughcure::service
