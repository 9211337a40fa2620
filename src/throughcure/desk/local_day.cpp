#include "throughcure/desk/local_day.hpp"

#include <exception>

#include <date/date.h>
#include <date/tz.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::desk {

namespace {

using std::chrono::microseconds;
using SystemTime = date::sys_time<microseconds>;

const date::time_zone& zone_called(std::string_view name) {
  try {
    return *date::locate_zone(std::string(name));
  } catch (const std::exception&) {
    throw base::Failure("there is no time zone \"" + std::string(name) + "\" in the system's table. Name one as IANA " +
                        "does, as \"Europe/Lisbon\", or install the system's time zones (tzdata).");
  }
}

SystemTime system_time(base::Instant at) { return SystemTime(microseconds(at.us)); }

}  // namespace

bool is_time_zone(std::string_view name) {
  if (name.empty() || name.front() == '/' || name.find("..") != std::string_view::npos) return false;
  try {
    zone_called(name);
    return true;
  } catch (const base::Failure&) {
    return false;
  }
}

LocalDay local_day(base::Instant at, std::string_view time_zone) {
  const auto local = zone_called(time_zone).to_local(system_time(at));
  return date::floor<date::days>(local).time_since_epoch().count();
}

base::Instant begin_of(LocalDay day, std::string_view time_zone) {
  const date::local_days local{date::days(day)};
  // Where midnight is skipped or comes twice: the first instant of that day.
  const auto at = zone_called(time_zone).to_sys(local, date::choose::earliest);
  return {std::chrono::duration_cast<microseconds>(at.time_since_epoch()).count()};
}

LocalMoment local_moment(LocalDay day, std::int64_t us_of_day, std::string_view time_zone) {
  const date::local_time<microseconds> local = date::local_days{date::days(day)} + microseconds(us_of_day);
  const date::local_info info = zone_called(time_zone).get_info(local);
  const auto instant = [&](const date::sys_info& clock) {
    return base::Instant{(local.time_since_epoch() - clock.offset).count()};
  };
  if (info.result == date::local_info::unique) return {{instant(info.first)}};
  if (info.result == date::local_info::ambiguous) return {{instant(info.first), instant(info.second)}};
  return {};
}

std::string day_text(LocalDay day) { return date::format("%F", date::sys_days{date::days(day)}); }

std::string local_text(base::Instant at, std::string_view time_zone) {
  return date::format("%F %H:%M", date::floor<std::chrono::minutes>(zone_called(time_zone).to_local(system_time(at))));
}

}  // namespace throughcure::desk
