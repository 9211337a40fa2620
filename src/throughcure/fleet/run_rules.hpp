// Rules on runs of single values: what a lone limit does not see.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "throughcure/fleet/in_control.hpp"
#include "throughcure/fleet/signal.hpp"

namespace throughcure::fleet {

/// A rule that is met when the last `length` values all lie beyond the same `sigmas` from the target, strictly.
struct RunRule {
  Rule rule = Rule::kTenOnOneSide;
  std::size_t length = 10;
  double sigmas = 0;
};

/// The multirule's runs. Source: Westgard's rules 1_2s, 2_2s, 4_1s and 10_x; R_4s needs two control levels and has no
/// place here, 1_3s is the chart's own limit (published definitions, see docs/charts.md).
inline constexpr RunRule kOneBeyondTwoSigma{Rule::kBeyondTwoSigma, 1, 2};
inline constexpr RunRule kTwoBeyondTwoSigma{Rule::kTwoBeyondTwoSigma, 2, 2};
inline constexpr RunRule kFourBeyondOneSigma{Rule::kFourBeyondOneSigma, 4, 1};
inline constexpr RunRule kTenOnOneSide{Rule::kTenOnOneSide, 10, 0};

/// Every point at which the rule is met, with the estimated start of the change. Points in a row that meet it share
/// the start found at the first of them.
std::vector<Signal> run_signals(std::span<const double> values, const InControl& in_control, const RunRule& rule);

}  // namespace throughcure::fleet
