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
  const std::scoped_lock lock(mutex_);

  // The name. When the clock was set back, its wait begins anew.
  const auto failed = names_.find(name_key);
  if (failed != names_.end() && failed->second.last > now) {
    failed->second.last = now;
    failed->second.next = now + wait_after(failed->second.count);
  }
  const Failures before = failed == names_.end() ? Failures{0, now, now} : failed->second;

  const Admission answer{std::max(addresses_.wait(address, now), rounded_up(before.next - now)),
                         before.count >= rules_.most_failures};
  if (!answer.granted()) return answer;

  addresses_.take(address, now);
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

std::size_t Attempts::names() const {
  const std::scoped_lock lock(mutex_);
  return names_.size();
}

std::size_t Attempts::addresses() const { return addresses_.size(); }

}  // namespace throughcure::service
