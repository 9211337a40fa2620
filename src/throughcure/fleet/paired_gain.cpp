#include "throughcure/fleet/paired_gain.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <vector>

#include "throughcure/fleet/uncertainty.hpp"

namespace throughcure::fleet {

namespace {

bool comparable(const LightReading& a, const LightReading& b) {
  return a.tip == b.tip && a.radiometer == b.radiometer && a.mode == b.mode && a.barrier_on == b.barrier_on &&
         !barrier_not_smooth(a) && !barrier_not_smooth(b) && a.shown_mw_cm2 > 0 && b.shown_mw_cm2 > 0;
}

/// ln(with / without) of each pair: mean, and what it is from there to the ends of the interval.
struct LnShare {
  double mean = 0;
  double to_end = 0;
  std::size_t pairs = 0;
};

std::optional<LnShare> ln_share(const std::vector<double>& ln_ratios, const PairSettings& settings) {
  if (ln_ratios.empty()) return std::nullopt;
  const auto n = static_cast<double>(ln_ratios.size());
  double mean = 0;
  for (const double ratio : ln_ratios) mean += ratio / n;
  double squares = 0;
  for (const double ratio : ln_ratios) squares += (ratio - mean) * (ratio - mean);
  const Scatter scatter =
      scatter_of(squares, n - 1, {.sd = std::sqrt(2.0) * settings.scatter.sd, .weight = settings.scatter.weight});
  return LnShare{.mean = mean,
                 .to_end = coverage_factor(scatter.dof, settings.coverage) * scatter.sd / std::sqrt(n),
                 .pairs = ln_ratios.size()};
}

}  // namespace

std::optional<PairedShare> battery_sag(const LightHistory& history, base::Instant now, const PairSettings& settings) {
  const std::vector<std::size_t> order = by_time(history.readings, now);
  const auto most_us = static_cast<std::int64_t>(settings.most_hours * 3600e6);
  std::vector<double> ln_ratios;
  for (std::size_t k = 0; k < order.size(); ++k) {
    const LightReading& low = history.readings[order[k]];
    if (low.purpose != Purpose::kLowBattery) continue;
    const LightReading* nearest = nullptr;
    std::int64_t least_us = most_us;
    // Both ways from it, as far as a pair may be apart.
    std::size_t begin = k;
    while (begin > 0 && low.at.us - history.readings[order[begin - 1]].at.us <= most_us) --begin;
    for (std::size_t i = begin; i < order.size() && history.readings[order[i]].at.us - low.at.us <= most_us; ++i) {
      const LightReading& full = history.readings[order[i]];
      const std::int64_t apart = std::abs(full.at.us - low.at.us);
      if (apart > least_us || !comparable(low, full) || why_not_counted(history, full, settings.series)) continue;
      nearest = &full;
      least_us = apart;
    }
    if (nearest != nullptr) ln_ratios.push_back(std::log(low.shown_mw_cm2 / nearest->shown_mw_cm2));
  }
  const auto share = ln_share(ln_ratios, settings);
  if (!share) return std::nullopt;
  return PairedShare{.low = 1 - std::exp(share->mean + share->to_end),
                     .middle = 1 - std::exp(share->mean),
                     .high = 1 - std::exp(share->mean - share->to_end),
                     .pairs = share->pairs};
}

std::optional<PairedShare> cleaning_gain(const LightHistory& history, base::Instant now, const PairSettings& settings) {
  const std::vector<std::size_t> order = by_time(history.readings, now);
  const auto most_us = static_cast<std::int64_t>(settings.most_hours * 3600e6);
  std::vector<double> ln_ratios;
  for (std::size_t k = 0; k < order.size(); ++k) {
    const LightReading& before = history.readings[order[k]];
    if (before.purpose != Purpose::kBeforeCleaning) continue;
    for (std::size_t i = k + 1; i < order.size(); ++i) {
      const LightReading& after = history.readings[order[i]];
      if (after.at.us - before.at.us > most_us) break;
      if (after.purpose != Purpose::kAfterCleaning || !comparable(before, after)) continue;
      ln_ratios.push_back(std::log(after.shown_mw_cm2 / before.shown_mw_cm2));
      break;
    }
  }
  const auto share = ln_share(ln_ratios, settings);
  if (!share) return std::nullopt;
  return PairedShare{.low = std::expm1(share->mean - share->to_end),
                     .middle = std::expm1(share->mean),
                     .high = std::expm1(share->mean + share->to_end),
                     .pairs = share->pairs};
}

}  // namespace throughcure::fleet
