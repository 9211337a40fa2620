#include "throughcure/desk/import_told.hpp"

#include <string_view>

#include "throughcure/desk/local_month.hpp"
#include "throughcure/desk/whole_text.hpp"

namespace throughcure::desk {

namespace {

constexpr std::string_view kCheckIt = ": check it before it is used.";

/// "3 March 2026"
std::string day_words(base::Instant at, std::string_view time_zone) {
  std::string day = day_text(local_day(at, time_zone)).substr(sizeof("2026-03-") - 1);
  if (day.starts_with('0')) day.erase(0, 1);
  return day + " " + month_text(month_of(at, time_zone));
}

std::string of_reading(const Judged& reading, const Policy& policy, std::string_view time_zone) {
  const std::string begin = "Its newest reading, of " + day_words(reading.at, time_zone) + ", is ";
  const double lower = policy["lower_limit_mw_cm2"];
  if (reading.bare_mw_cm2 < lower) {
    return begin + whole_text(reading.bare_mw_cm2) + " mW/cm2, and the checks ask for " + whole_text(lower) +
           std::string(kCheckIt);
  }
  return begin + whole_text(100 * reading.share) + " % of its baseline" + std::string(kCheckIt);
}

/// An alarm that only readings with a barrier on raise says itself what to do.
std::string of_alarm(std::string alarm, bool says_what_to_do) {
  if (says_what_to_do) return alarm;
  if (alarm.ends_with('.')) alarm.pop_back();
  return alarm + std::string(kCheckIt);
}

}  // namespace

std::vector<LightToLookAt> lights_to_look_at(LightsNow& lights, const std::vector<base::LightId>& of,
                                             base::Instant now) {
  std::vector<LightToLookAt> found;
  for (const base::LightId id : of) {
    const LightLine line = lights.line(id, now);
    const auto& last = line.state.last;
    LightToLookAt one{.light = id, .name = line.record->light.record.name, .sentence = {}};
    if (last && last->below) {
      one.sentence = of_reading(*last, lights.policy(), line.record->site.record.time_zone);
    } else if (line.alarm) {
      one.sentence = of_alarm(*line.alarm, line.output.needs_bare_reading);
    } else {
      continue;
    }
    found.push_back(std::move(one));
  }
  return found;
}

}  // namespace throughcure::desk
