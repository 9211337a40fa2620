#include "throughcure/service/look_back_course.hpp"

#include <algorithm>

#include <nlohmann/json.hpp>

#include "throughcure/base/given.hpp"
#include "throughcure/service/json_value.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;

/// Readings as they were shown, each brought to one without a barrier where it counts, and those of other radiometers
/// to the one that the course is told by.
json readings_of(const OpenedLookBack& all, base::Instant from) {
  const desk::LightView& view = all.view;
  std::vector<std::pair<base::Instant, json>> found;
  const auto add = [&](std::size_t index, double mw_cm2, bool counts) {
    const fleet::LightReading& reading = view.record.history.readings[index];
    if (reading.at < from) return;
    found.emplace_back(reading.at, json{{"at", base::instant_text(reading.at)},
                                        {"mw_cm2", mw_cm2},
                                        {"shown_mw_cm2", reading.shown_mw_cm2},
                                        {"radiometer_name", view.record.radiometers.at(reading.radiometer).record.name},
                                        {"counts", counts}});
  };
  const fleet::SeriesSplit& split = view.output.split;
  for (std::size_t i = 0; i < split.series.size(); ++i) {
    for (const fleet::SeriesPoint& point : split.series[i].points) {
      add(point.reading, point.bare_mw_cm2 * all.scales[i].to_drawn, true);
    }
  }
  for (const fleet::Uncounted& one : split.uncounted) {
    const fleet::LightReading& reading = view.record.history.readings[one.reading];
    add(one.reading, reading.shown_mw_cm2 * desk::to_drawn(all.scales, one), false);
  }
  std::ranges::stable_sort(found, {}, [](const auto& one) { return one.first; });
  json rows = json::array();
  for (auto& [at, row] : found) rows.push_back(std::move(row));
  return rows;
}

json events_of(const desk::LightView& view, base::Instant from, base::Instant until) {
  json rows = json::array();
  for (const auto& event : view.record.servicing) {
    if (event.record.at < from || event.record.at > until) continue;
    rows.push_back({{"at", base::instant_text(event.record.at)},
                    {"what", std::get<std::string>(base::Kept<fleet::Deed>::to(event.record.what))}});
  }
  return rows;
}

}  // namespace

std::string course_json(const OpenedLookBack& all, base::Instant otherwise) {
  const std::vector<desk::CoursePoint> course = all.output->course(otherwise);
  json points = json::array();
  for (const desk::CoursePoint& point : course) {
    points.push_back({{"at", base::instant_text(point.at)},
                      {"p10", point.output.p10},
                      {"p50", point.output.p50},
                      {"p90", point.output.p90},
                      {"step", or_null(point.step)},
                      {"decline", or_null(point.decline)}});
  }
  json step = nullptr;
  if (const auto when = all.output->last().step_time()) {
    step = {{"weight", base::given(all.output->last().step_weight())},
            {"early", base::instant_text(when->early)},
            {"middle", base::instant_text(when->middle)},
            {"late", base::instant_text(when->late)}};
  }
  const base::Instant from = course.front().at;
  return json{{"course", points},
              {"step", step},
              {"readings", readings_of(all, from)},
              {"events", events_of(all.view, from, course.back().at)}}
      .dump();
}

}  // namespace throughcure::service
