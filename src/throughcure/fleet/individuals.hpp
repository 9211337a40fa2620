// The chart of single values and of their moving ranges.
#pragma once

#include <span>
#include <vector>

#include "throughcure/fleet/in_control.hpp"
#include "throughcure/fleet/run_rules.hpp"
#include "throughcure/fleet/signal.hpp"

namespace throughcure::fleet {

struct IndividualsSettings {
  double L = 3;  ///< limits of the values [sigma]
  /// Limit of the moving range [sigma], or none. The handbook's 3.267 mean moving ranges are 3.69 sigma, which alone
  /// raise a false alarm every hundred checks; 4.556 is the factor of Rigdon, Cruthis and Champ 1994 (published).
  double moving_range = 4.556;
  /// Runs that raise an alarm besides.
  std::vector<RunRule> runs{kTenOnOneSide};
};

struct IndividualsChart {
  double lcl = 0;
  double ucl = 0;
  double moving_range_ucl = 0;           ///< above it: an alarm
  double moving_range_handbook_ucl = 0;  ///< above it: a warning; 3.267 * 1.128 sigma
  std::vector<double> moving_range;      ///< one fewer than the values
  std::vector<Signal> signals;           ///< by point, then by rule
  std::vector<Signal> warnings;          ///< values beyond 2 sigma, moving ranges beyond the handbook's limit
};

/// Limits target +- L sigma. Source: NIST/SEMATECH e-Handbook 6.3.2.2 (published); the moving range's, see above.
IndividualsChart individuals_chart(std::span<const double> values, const InControl& in_control,
                                   const IndividualsSettings& settings = {});

}  // namespace throughcure::fleet
