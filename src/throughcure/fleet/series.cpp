#include "throughcure/fleet/series.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

namespace throughcure::fleet {

namespace {

/// When all series begin anew, by time: the tip was replaced, or the light mended before it was accepted.
std::vector<base::Instant> begun_anew(const LightHistory& history) {
  std::vector<base::Instant> begun;
  for (const ServiceEvent& service : history.services) {
    if (service.what == Deed::kTipReplaced) begun.push_back(service.at);
  }
  if (history.mended_at) begun.push_back(*history.mended_at);
  std::ranges::sort(begun);
  return begun;
}

void set_baseline(Series& series, std::size_t of) {
  series.baseline_of = std::min(of, series.points.size());
  double sum = 0;
  for (std::size_t i = 0; i < series.baseline_of; ++i) sum += series.points[i].bare_mw_cm2;
  series.baseline_mw_cm2 = sum / static_cast<double>(series.baseline_of);
  for (SeriesPoint& point : series.points) point.share = point.bare_mw_cm2 / series.baseline_mw_cm2;
}

bool is_of(const LightReading& reading, const Series& series) {
  return series.tip == reading.tip && series.radiometer == reading.radiometer && series.mode == reading.mode;
}

/// Series of one tip as it was put on, or as the light was mended: behind those before it.
struct OneTip {
  std::size_t series_from = 0;
  std::size_t uncounted_from = 0;
};

/// Each of the tip that was on when it was taken.
void place_uncounted(SeriesSplit& split, const LightHistory& history, const std::vector<OneTip>& tips) {
  for (std::size_t t = 0; t < tips.size(); ++t) {
    const bool last = t + 1 == tips.size();
    const std::size_t series_to = last ? split.series.size() : tips[t + 1].series_from;
    const std::size_t uncounted_to = last ? split.uncounted.size() : tips[t + 1].uncounted_from;
    for (std::size_t u = tips[t].uncounted_from; u < uncounted_to; ++u) {
      Uncounted& one = split.uncounted[u];
      for (std::size_t s = tips[t].series_from; s < series_to; ++s) {
        if (is_of(history.readings[one.reading], split.series[s])) one.series = s;
      }
    }
  }
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
  if (barrier_not_smooth(reading)) return NotCounted::kBarrierNotSmooth;
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
  const std::vector<base::Instant> begun = begun_anew(history);
  std::size_t tips_gone = 0;
  SeriesSplit split;
  std::vector<OneTip> tips(1);
  for (const std::size_t i : by_time(history.readings, now)) {
    const LightReading& reading = history.readings[i];
    for (; tips_gone < begun.size() && begun[tips_gone] <= reading.at; ++tips_gone) {
      tips.push_back({.series_from = split.series.size(), .uncounted_from = split.uncounted.size()});
    }
    if (const auto why = why_not_counted(history, reading, settings)) {
      split.uncounted.push_back({.reading = i, .id = reading.id, .why = *why});
      continue;
    }
    std::size_t s = tips.back().series_from;
    while (s < split.series.size() && !is_of(reading, split.series[s])) ++s;
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
  place_uncounted(split, history, tips);
  for (Series& series : split.series) set_baseline(series, std::max<std::size_t>(1, settings.baseline_of));
  return split;
}

}  // namespace throughcure::fleet
