#include "throughcure/fleet/radiometer_link.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>

#include "throughcure/base/problem.hpp"
#include "throughcure/fleet/uncertainty.hpp"

namespace throughcure::fleet {

namespace {

bool may_pair(const LightHistory& history, const LightReading& reading, const LinkSettings& settings) {
  return reading.purpose == Purpose::kSideBySide && !why_not_counted(history, reading, settings.series);
}

/// The radiometers that one tip was read side by side on in one mode, in the order of their first such readings.
struct Beside {
  std::size_t tip = 0;
  std::size_t mode = 0;
  std::vector<std::size_t> radiometers{};
};

std::vector<Beside> read_side_by_side(const LightHistory& history, const LinkSettings& settings) {
  std::vector<Beside> found;
  for (const std::size_t i : by_time(history.readings, base::kLatestInstant)) {
    const LightReading& reading = history.readings[i];
    if (!may_pair(history, reading, settings)) continue;
    auto at = std::ranges::find_if(
        found, [&](const Beside& one) { return one.tip == reading.tip && one.mode == reading.mode; });
    if (at == found.end()) at = found.insert(found.end(), Beside{.tip = reading.tip, .mode = reading.mode});
    if (std::ranges::find(at->radiometers, reading.radiometer) == at->radiometers.end()) {
      at->radiometers.push_back(reading.radiometer);
    }
  }
  return found;
}

}  // namespace

std::vector<SideBySide> side_by_side(const LightHistory& history, std::size_t from, std::size_t to, std::size_t tip,
                                     std::size_t mode, const LinkSettings& settings) {
  std::vector<std::size_t> firsts;
  std::vector<std::size_t> seconds;
  for (const std::size_t i : by_time(history.readings, base::kLatestInstant)) {
    const LightReading& reading = history.readings[i];
    if (reading.tip != tip || reading.mode != mode || !may_pair(history, reading, settings)) continue;
    if (reading.radiometer == from) firsts.push_back(i);
    if (reading.radiometer == to) seconds.push_back(i);
  }
  std::vector<std::tuple<std::int64_t, std::size_t, std::size_t>> near;
  const auto most_us = static_cast<std::int64_t>(settings.most_minutes * 60e6);
  std::size_t begin = 0;
  for (const std::size_t a : firsts) {
    const std::int64_t at = history.readings[a].at.us;
    while (begin < seconds.size() && history.readings[seconds[begin]].at.us < at - most_us) ++begin;
    for (std::size_t k = begin; k < seconds.size() && history.readings[seconds[k]].at.us <= at + most_us; ++k) {
      near.emplace_back(std::abs(history.readings[seconds[k]].at.us - at), a, seconds[k]);
    }
  }
  std::ranges::sort(near);
  std::vector<SideBySide> pairs;
  std::vector<bool> taken(history.readings.size());
  for (const auto& [apart, a, b] : near) {
    if (taken[a] || taken[b]) continue;
    taken[a] = taken[b] = true;
    pairs.push_back({.first = a, .second = b});
  }
  std::ranges::sort(pairs, {}, [&](const SideBySide& pair) { return history.readings[pair.first].at.us; });
  return pairs;
}

std::optional<RadiometerLink> link_radiometers(const LightHistory& history, std::span<const SideBySide> pairs,
                                               const LinkSettings& settings) {
  if (pairs.empty()) return std::nullopt;
  const auto n = static_cast<double>(pairs.size());
  double sum = 0;
  double squares = 0;
  double barrier_sd = 0;
  for (const auto& [first, second] : pairs) {
    const LightReading& a = history.readings[first];
    const LightReading& b = history.readings[second];
    const BarrierFactor over_a = barrier_of(a, settings.series);
    const BarrierFactor over_b = barrier_of(b, settings.series);
    const double ratio = std::log(b.shown_mw_cm2 / over_b.passes / (a.shown_mw_cm2 / over_a.passes));
    sum += ratio;
    squares += ratio * ratio;
    if (a.barrier_on != b.barrier_on) barrier_sd += std::hypot(over_a.sd / over_a.passes, over_b.sd / over_b.passes);
  }
  const double mean = sum / n;
  const ScatterPrior of_ratio{.sd = std::sqrt(2.0) * settings.scatter.sd, .weight = settings.scatter.weight};
  const Scatter scatter = scatter_of(std::max(0.0, squares - n * mean * mean), n - 1, of_ratio);
  const std::array contributions{Contribution{.u = scatter.sd / std::sqrt(n), .dof = scatter.dof},
                                 Contribution{.u = barrier_sd / n}};
  const CombinedUncertainty u = combined(contributions);
  const double to_95 = coverage_factor(u.effective_dof, 0.95) * u.u;
  const LightReading& one = history.readings[pairs.front().first];
  return RadiometerLink{.from = one.radiometer,
                        .to = history.readings[pairs.front().second].radiometer,
                        .tip = one.tip,
                        .mode = one.mode,
                        .factor = std::exp(mean),
                        .ln_u = u.u,
                        .effective_dof = u.effective_dof,
                        .low = std::exp(mean - to_95),
                        .high = std::exp(mean + to_95),
                        .pairs = pairs.size()};
}

std::vector<RadiometerLink> radiometer_links(const LightHistory& history, const LinkSettings& settings) {
  std::vector<RadiometerLink> links;
  for (const Beside& one : read_side_by_side(history, settings)) {
    for (std::size_t a = 0; a < one.radiometers.size(); ++a) {
      for (std::size_t b = a + 1; b < one.radiometers.size(); ++b) {
        const auto pairs = side_by_side(history, one.radiometers[a], one.radiometers[b], one.tip, one.mode, settings);
        if (const auto link = link_radiometers(history, pairs, settings)) links.push_back(*link);
      }
    }
  }
  return links;
}

Series go_on(const Series& before, const Series& after, const RadiometerLink& link) {
  if (before.tip != after.tip || before.mode != after.mode) {
    throw base::Failure("The two series are of different tips or modes: a link joins radiometers only.");
  }
  if (link.from != before.radiometer || link.to != after.radiometer) {
    throw base::Failure("The link is not between the radiometers of these two series.");
  }
  Series joined = before;
  joined.came_in.push_back(joined.points.size());
  joined.joined_factor *= link.factor;
  joined.joined_ln_sd = std::hypot(joined.joined_ln_sd, link.ln_u);
  for (const SeriesPoint& point : after.points) {
    if (point.at <= before.points.back().at) continue;
    SeriesPoint brought = point;
    brought.bare_mw_cm2 = point.bare_mw_cm2 / joined.joined_factor;
    brought.share = brought.bare_mw_cm2 / joined.baseline_mw_cm2;
    brought.ln_factor_sd = std::hypot(point.ln_factor_sd, joined.joined_ln_sd);
    joined.points.push_back(brought);
  }
  // The last radiometer is what a further link begins at.
  joined.radiometer = after.radiometer;
  return joined;
}

}  // namespace throughcure::fleet
