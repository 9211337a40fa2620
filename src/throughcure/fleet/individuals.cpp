#include "throughcure/fleet/individuals.hpp"

#include <algorithm>
#include <cstddef>
#include <iterator>
#include <utility>

namespace throughcure::fleet {

namespace {

void append(std::vector<Signal>& to, std::vector<Signal> more) { std::ranges::move(more, std::back_inserter(to)); }

/// Ranges above the limit. The jump lies between the two values: the second of them is the first changed one.
std::vector<Signal> range_signals(std::span<const double> ranges, double ucl, Rule rule) {
  std::vector<Signal> signals;
  for (std::size_t i = 0; i < ranges.size(); ++i) {
    if (ranges[i] > ucl) signals.push_back({.at = i + 1, .rule = rule, .change_at = i + 1});
  }
  return signals;
}

void sort_by_point(std::vector<Signal>& signals) {
  std::ranges::sort(signals, {}, [](const Signal& signal) { return std::pair(signal.at, signal.rule); });
}

}  // namespace

IndividualsChart individuals_chart(std::span<const double> values, const InControl& in_control,
                                   const IndividualsSettings& settings) {
  IndividualsChart chart{.lcl = in_control.target - settings.L * in_control.sigma,
                         .ucl = in_control.target + settings.L * in_control.sigma,
                         .moving_range_ucl = settings.moving_range * in_control.sigma,
                         .moving_range_handbook_ucl = kD4OfTwo * kD2OfTwo * in_control.sigma,
                         .moving_range = moving_ranges(values),
                         .signals = {},
                         .warnings = {}};
  append(chart.signals,
         run_signals(values, in_control, {.rule = Rule::kBeyondLimits, .length = 1, .sigmas = settings.L}));
  for (const RunRule& run : settings.runs) append(chart.signals, run_signals(values, in_control, run));
  append(chart.signals, range_signals(chart.moving_range, chart.moving_range_ucl, Rule::kMovingRange));
  append(chart.warnings, run_signals(values, in_control, kOneBeyondTwoSigma));
  append(chart.warnings,
         range_signals(chart.moving_range, chart.moving_range_handbook_ucl, Rule::kMovingRangeHandbook));
  sort_by_point(chart.signals);
  sort_by_point(chart.warnings);
  return chart;
}

}  // namespace throughcure::fleet
