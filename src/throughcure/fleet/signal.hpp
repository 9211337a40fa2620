// What a control chart raises: which rule, at which point, and where the change began.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>

namespace throughcure::fleet {

/// The rules that raise an alarm or, the last two, only a warning.
enum class Rule : std::uint8_t {
  kBeyondLimits,         ///< a value outside lcl..ucl of the individuals chart
  kTwoBeyondTwoSigma,    ///< two in a row beyond the same 2 sigma
  kFourBeyondOneSigma,   ///< four in a row beyond the same 1 sigma
  kTenOnOneSide,         ///< ten in a row on one side of the target
  kMovingRange,          ///< two neighbours further apart than the limit of the moving range
  kEwma,                 ///< the weighted average outside lcl..ucl
  kCusumHigh,            ///< the sum of what lies above passes h
  kCusumLow,             ///< the sum of what lies below passes h
  kBeyondTwoSigma,       ///< warning: one value beyond 2 sigma
  kMovingRangeHandbook,  ///< warning: a moving range above 3.267 times the mean moving range
};

/// "beyond_limits", "cusum_low", ...: the word in JSON.
constexpr std::string_view word(Rule rule) {
  switch (rule) {
    case Rule::kBeyondLimits:
      return "beyond_limits";
    case Rule::kTwoBeyondTwoSigma:
      return "two_beyond_two_sigma";
    case Rule::kFourBeyondOneSigma:
      return "four_beyond_one_sigma";
    case Rule::kTenOnOneSide:
      return "ten_on_one_side";
    case Rule::kMovingRange:
      return "moving_range";
    case Rule::kEwma:
      return "ewma";
    case Rule::kCusumHigh:
      return "cusum_high";
    case Rule::kCusumLow:
      return "cusum_low";
    case Rule::kBeyondTwoSigma:
      return "beyond_two_sigma";
    case Rule::kMovingRangeHandbook:
      return "moving_range_handbook";
  }
  return "";
}

/// One alarm. `change_at` is the first point of the changed output, as estimated; both count from 0.
struct Signal {
  std::size_t at = 0;
  Rule rule = Rule::kBeyondLimits;
  std::size_t change_at = 0;
  friend bool operator==(const Signal&, const Signal&) = default;
};

}  // namespace throughcure::fleet
