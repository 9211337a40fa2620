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
      standing_(standing_of(record, judged(record, policy, until))),
      current_(current_series_of(output, standing_)),
      has_readings_(!output.split.series.empty()),
      followed_(record.history.claimed_mw_cm2, output, until) {}

LightLine line_of(std::shared_ptr<const LightRecord> record, const LightCourse& course, const Policy& policy,
                  base::Instant now) {
  LightLine line{.record = std::move(record),
                 .state = {},
                 .output = course.followed_.at(now),
                 .has_readings = course.has_readings_,
                 .alarm = {}};
  line.state = state_of(*line.record, course.standing_, policy, now);
  line.need_mw_cm2 = need_of(course.current_, policy, line.output.today.p50);
  line.output.falls_below = course.followed_.falls_below(now, line.need_mw_cm2);
  line.alarm = standing_alarm(course.current_, line.output, *line.record);
  watch_where_alarmed(line.state, line.alarm);
  return line;
}

}  // namespace throughcure::desk
