#include "throughcure/desk/limit.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "throughcure/desk/whole_text.hpp"

namespace throughcure::desk {

double shown_limit(const Policy& policy, std::optional<double> baseline_mw_cm2) {
  return std::max(policy["lower_limit_mw_cm2"], policy["action_share"] * baseline_mw_cm2.value_or(0));
}

Limit limit_of(const Standing& standing, const Policy& policy, const fleet::LightToday& output) {
  return {.shown_mw_cm2 = standing.last ? standing.last->limit_mw_cm2 : shown_limit(policy, std::nullopt),
          .shown_per_exitance = output.shown_per_exitance};
}

std::string limit_why(const Standing& standing, const Policy& policy) {
  if (!standing.last || standing.last->limit_mw_cm2 <= policy["lower_limit_mw_cm2"]) {
    return "the practice's lower limit";
  }
  return whole_text(100 * policy["action_share"]) + " % of its baseline";
}

std::optional<std::string> shown_by(const LightRecord& record, const Standing& standing) {
  const fleet::LightReading* const last = standing.last ? reading_of(record, standing.last->id) : nullptr;
  if (last == nullptr) return std::nullopt;
  return record.radiometers.at(last->radiometer).record.name;
}

std::string as_shown_words(const std::optional<std::string>& radiometer) {
  return "as " + radiometer.value_or("its radiometer") + " shows it";
}

namespace {

/// The series with a reading.
std::optional<std::size_t> series_with(const fleet::LightOutput& output, std::optional<base::ReadingId> reading) {
  if (!reading) return std::nullopt;
  const auto& all = output.split.series;
  const auto at = std::ranges::find_if(all, [&](const fleet::Series& series) {
    return std::ranges::find(series.points, *reading, &fleet::SeriesPoint::id) != series.points.end();
  });
  return at == all.end() ? std::nullopt : std::optional(static_cast<std::size_t>(at - all.begin()));
}

}  // namespace

std::vector<fleet::ShownFrom> as_shown_by(const fleet::LightOutput& output, std::optional<base::ReadingId> reading) {
  const auto series = series_with(output, reading);
  return series ? output.as_shown_in[*series] : std::vector<fleet::ShownFrom>();
}

std::vector<fleet::ShownFrom> as_drawn(const fleet::LightOutput& output, const std::vector<SeriesScale>& scales) {
  std::vector<std::pair<base::Instant, std::size_t>> taken;  // each with its series
  for (std::size_t i = 0; i < output.split.series.size(); ++i) {
    for (const fleet::SeriesPoint& point : output.split.series[i].points) taken.emplace_back(point.at, i);
  }
  std::ranges::sort(taken);
  std::vector<fleet::ShownFrom> drawn;
  std::optional<std::size_t> last_kind;
  for (const auto& [at, series] : taken) {
    const auto as = fleet::as_shown_at(output.as_shown_in[series], at);
    if (!as || as->kind == last_kind) continue;
    last_kind = as->kind;
    const double ln_scale = std::log(scales[series].to_drawn);
    drawn.push_back({.from = at, .as = {.kind = as->kind, .ln_factor = as->ln_factor + ln_scale}});
  }
  return drawn;
}

std::vector<SeriesScale> series_scales(const fleet::LightOutput& output, const Policy& policy,
                                       std::optional<base::ReadingId> drawn_by) {
  const auto& all = output.split.series;
  const std::vector<double>& shown = output.shown_per_exitance_in;
  const auto drawn = series_with(output, drawn_by);
  std::vector<SeriesScale> scales;
  scales.reserve(all.size());
  for (std::size_t i = 0; i < all.size(); ++i) {
    const double by = shown[drawn.value_or(i)];
    scales.push_back({.limit_mw_cm2 = shown_limit(policy, all[i].baseline_mw_cm2), .to_drawn = by / shown[i]});
  }
  return scales;
}

double to_drawn(const std::vector<SeriesScale>& scales, const fleet::Uncounted& reading) {
  return reading.series ? scales[*reading.series].to_drawn : 1;
}

}  // namespace throughcure::desk
