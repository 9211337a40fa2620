#include "throughcure/service/buckets.hpp"

#include <algorithm>

namespace throughcure::service {

namespace {

std::chrono::seconds rounded_up(Instant::duration time) {
  return std::max(std::chrono::ceil<std::chrono::seconds>(time), std::chrono::seconds(0));
}

}  // namespace

Instant Buckets::full_after_one(const Fingerprint& of, Instant now) {
  const auto bucket = full_again_.find(of);
  const Instant::duration whole = rules_.burst * Instant::duration(rules_.pace);
  // An empty bucket is full after `whole`; one that would take longer is from before the clock was set back.
  if (bucket != full_again_.end()) bucket->second = std::min(bucket->second, now + whole);
  return (bucket == full_again_.end() ? now : std::max(bucket->second, now)) + rules_.pace;
}

std::chrono::seconds Buckets::wait(std::string_view of, Instant now) {
  const std::scoped_lock lock(mutex_);
  return rounded_up(full_after_one(fingerprint(of), now) - now - rules_.burst * Instant::duration(rules_.pace));
}

std::chrono::seconds Buckets::take(std::string_view of, Instant now) {
  const Fingerprint key = fingerprint(of);
  const std::scoped_lock lock(mutex_);
  const Instant full_again = full_after_one(key, now);
  const auto wait = rounded_up(full_again - now - rules_.burst * Instant::duration(rules_.pace));
  if (wait.count() > 0) return wait;
  if (!full_again_.contains(key)) make_room(now);
  full_again_[key] = full_again;
  return wait;
}

void Buckets::make_room(Instant now) {
  if (full_again_.size() < rules_.most) return;
  // A full bucket is as good as none.
  std::erase_if(full_again_, [now](const auto& entry) { return entry.second <= now; });
  if (full_again_.size() < rules_.most) return;
  full_again_.erase(std::min_element(full_again_.begin(), full_again_.end(),
                                     [](const auto& a, const auto& b) { return a.second < b.second; }));
}

std::size_t Buckets::size() const {
  const std::scoped_lock lock(mutex_);
  return full_again_.size();
}

}  // namespace throughcure::service
