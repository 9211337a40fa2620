#include "throughcure/service/attempts.hpp"

#include <algorithm>
#include <tuple>

namespace throughcure::service {

namespace {

std::chrono::seconds rounded_up(Instant::duration time) {
  return std::max(std::chrono::ceil<std::chrono::seconds>(time), std::chrono::seconds(0));
}

}  // namespace

std::chrono::seconds Attempts::wait_after(unsigned failures) const {
  if (failures < rules_.free_failures) return std::chrono::seconds(0);
  std::chrono::seconds wait = rules_.first_wait;
  for (unsigned i = rules_.free_failures; i < failures && wait < rules_.longest_wait; ++i) wait *= 2;
  return std::min(wait, rules_.longest_wait);
}

Admission Attempts::begin(std::string_view name, std::string_view address, Instant now) {
  const Fingerprint name_key = fingerprint(name);
  const Fingerprint address_key = fingerprint(address);
  const std::scoped_lock lock(mutex_);

  // The address: a bucket of `burst` tries, told by the moment at which it will be full again.
  const auto bucket = full_again_.find(address_key);
  const Instant::duration whole = rules_.burst * Instant::duration(rules_.pace);
  // An empty bucket is full after `whole`; one that would take longer is from before the clock was set back.
  if (bucket != full_again_.end()) bucket->second = std::min(bucket->second, now + whole);
  const Instant full_again = (bucket == full_again_.end() ? now : std::max(bucket->second, now)) + rules_.pace;
  const Instant::duration too_early = full_again - now - whole;

  // The name. When the clock was set back, its wait begins anew.
  const auto failed = names_.find(name_key);
  if (failed != names_.end() && failed->second.last > now) {
    failed->second.last = now;
    failed->second.next = now + wait_after(failed->second.count);
  }
  const Failures before = failed == names_.end() ? Failures{0, now, now} : failed->second;

  const Admission answer{std::max(rounded_up(too_early), rounded_up(before.next - now)),
                         before.count >= rules_.most_failures};
  if (!answer.granted()) return answer;

  if (bucket == full_again_.end()) make_room_for_an_address(now);
  full_again_[address_key] = full_again;
  if (failed == names_.end()) make_room_for_a_name();
  names_[name_key] = {before.count + 1, now, now + wait_after(before.count + 1)};
  return answer;
}

void Attempts::clear(std::string_view name) {
  const Fingerprint key = fingerprint(name);
  const std::scoped_lock lock(mutex_);
  names_.erase(key);
}

void Attempts::make_room_for_a_name() {
  if (names_.size() < rules_.most_names) return;
  names_.erase(std::min_element(names_.begin(), names_.end(), [](const auto& a, const auto& b) {
    return std::tie(a.second.count, a.second.last) < std::tie(b.second.count, b.second.last);
  }));
}

void Attempts::make_room_for_an_address(Instant now) {
  if (full_again_.size() < rules_.most_addresses) return;
  // A full bucket is as good as none.
  std::erase_if(full_again_, [now](const auto& entry) { return entry.second <= now; });
  if (full_again_.size() < rules_.most_addresses) return;
  full_again_.erase(std::min_element(full_again_.begin(), full_again_.end(),
                                     [](const auto& a, const auto& b) { return a.second < b.second; }));
}

std::size_t Attempts::names() const {
  const std::scoped_lock lock(mutex_);
  return names_.size();
}

std::size_t Attempts::addresses() const {
  const std::scoped_lock lock(mutex_);
  return full_again_.size();
}

}  // namespace throughcure::service
