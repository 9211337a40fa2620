#include "throughcure/fleet/series.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

namespace throughcure::fleet {

namespace {

/// When the tip was replaced, by time.
std::vector<base::Instant> tips_replaced(const LightHistory& history) {
  std::vector<base::Instant> replaced;
  for (const ServiceEvent& service : history.services) {
    if (service.what == Deed::kTipReplaced) replaced.push_back(service.at);
  }
  std::ranges::sort(replaced);
  return replaced;
}

void set_baseline(Series& series, std::size_t of) {
  series.baseline_of = std::min(of, series.points.size());
  double sum = 0;
  for (std::size_t i = 0; i < series.baseline_of; ++i) sum += series.points[i].bare_mw_cm2;
  series.baseline_mw_cm2 = sum / static_cast<double>(series.baseline_of);
  for (SeriesPoint& point : series.points) point.share = point.bare_mw_cm2 / series.baseline_mw_cm2;
}

}  // namespace

std::optional<NotCounted> why_not_counted(const LightHistory& history, const LightReading& reading,
                                          const SeriesSettings& settings) {
  if (reading.tip >= history.tips.size() || reading.radiometer >= history.radiometers.size()) {
    return NotCounted::kUnknownPart;
  }
  if (!(reading.shown_mw_cm2 > 0)) return NotCounted::kNothingShown;
  if (reading.purpose == Purpose::kBeforeCleaning) return NotCounted::kBeforeCleaning;
  if (!reading.tip_clean) return NotCounted::kTipNotClean;
  if (reading.purpose == Purpose::kLowBattery) return NotCounted::kLowBattery;
  if (reading.battery && *reading.battery < settings.battery_low) return NotCounted::kLowBattery;
  return std::nullopt;
}

BarrierFactor barrier_of(const LightReading& reading, const SeriesSettings& settings) {
  if (!reading.barrier_on) return {};
  return reading.barrier.value_or(settings.unknown_barrier);
}

std::vector<std::size_t> by_time(std::span<const LightReading> readings, base::Instant now) {
  std::vector<std::size_t> order;
  order.reserve(readings.size());
  for (std::size_t i = 0; i < readings.size(); ++i) {
    if (readings[i].at <= now) order.push_back(i);
  }
  const auto earlier = [&](std::size_t a, std::size_t b) {
    return std::tuple(readings[a].at.us, readings[a].id.number, a) <
           std::tuple(readings[b].at.us, readings[b].id.number, b);
  };
  if (!std::ranges::is_sorted(order, earlier)) std::ranges::sort(order, earlier);
  return order;
}

SeriesSplit split_series(const LightHistory& history, base::Instant now, const SeriesSettings& settings) {
  const std::vector<base::Instant> replaced = tips_replaced(history);
  std::size_t tips_gone = 0;
  SeriesSplit split;
  std::size_t this_tip_from = 0;  // series before it are of tips that are gone
  for (const std::size_t i : by_time(history.readings, now)) {
    const LightReading& reading = history.readings[i];
    for (; tips_gone < replaced.size() && replaced[tips_gone] <= reading.at; ++tips_gone) {
      this_tip_from = split.series.size();
    }
    if (const auto why = why_not_counted(history, reading, settings)) {
      split.uncounted.push_back({.reading = i, .id = reading.id, .why = *why});
      continue;
    }
    std::size_t s = this_tip_from;
    while (s < split.series.size() &&
           (split.series[s].tip != reading.tip || split.series[s].radiometer != reading.radiometer ||
            split.series[s].mode != reading.mode)) {
      ++s;
    }
    if (s == split.series.size()) {
      split.series.push_back({.tip = reading.tip, .radiometer = reading.radiometer, .mode = reading.mode});
    }
    const BarrierFactor barrier = barrier_of(reading, settings);
    split.series[s].points.push_back({.reading = i,
                                      .id = reading.id,
                                      .at = reading.at,
                                      .bare_mw_cm2 = reading.shown_mw_cm2 / barrier.passes,
                                      .barrier_on = reading.barrier_on,
                                      .ln_factor_sd = barrier.sd / barrier.passes});
  }
  for (Series& series : split.series) set_baseline(series, std::max<std::size_t>(1, settings.baseline_of));
  return split;
}

}  // namespace throughcure::fleet
