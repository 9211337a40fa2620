#include "throughcure/desk/light_line.hpp"

#include <algorithm>
#include <utility>

namespace throughcure::desk {

namespace {

bool all_until(const fleet::LightHistory& history, base::Instant until) {
  return std::ranges::all_of(history.readings, [&](const auto& one) { return one.at <= until; }) &&
         std::ranges::all_of(history.services, [&](const auto& one) { return one.at <= until; });
}

}  // namespace

LightCourse::LightCourse(const LightRecord& record, const Policy& policy, base::Instant until)
    : LightCourse(record, policy, until, fleet::recorded_output(record.history, until)) {}

LightCourse::LightCourse(const LightRecord& record, const Policy& policy, base::Instant until,
                         const fleet::LightOutput& output)
    : until_(until),
      settled_(all_until(record.history, until)),
      standing_(standing_of(record, judged(record, policy, until), until)),
      alarm_(alarm_that_stands(output, standing_)),
      has_readings_(!output.split.series.empty()),
      followed_(record.history.claimed_mw_cm2, output, until) {}

LightState state_of(const LightRecord& record, const LightCourse& course, const Policy& policy, base::Instant now) {
  LightState state = state_of(record, course.standing_, policy, now);
  const fleet::LightToday& recorded = course.followed_.recorded();
  watch_where_alarmed(state, standing_alarm(course.alarm_, recorded, record), recorded);
  return state;
}

LightLine line_of(std::shared_ptr<const LightRecord> record, const LightCourse& course, const Policy& policy,
                  base::Instant now) {
  LightLine line{.record = std::move(record),
                 .state = {},
                 .output = course.followed_.at(now),
                 .has_readings = course.has_readings_,
                 .alarm = {},
                 .limit = {}};
  line.state = state_of(*line.record, course, policy, now);
  line.limit = limit_of(course.standing_, policy, line.output);
  line.output.falls_below = course.followed_.falls_below(now, line.limit.shown_mw_cm2);
  line.alarm = standing_alarm(course.alarm_, line.output, *line.record);
  return line;
}

}  // namespace throughcure::desk
