// What a chart compares with: the value of a light that has not changed, and the scatter of its readings.
#pragma once

#include <span>
#include <vector>

namespace throughcure::fleet {

/// Target and standard deviation of readings in control, in the unit of the values. sigma > 0.
struct InControl {
  double target = 0;
  double sigma = 0;
};

/// Mean moving range of two normal values by their sigma, and the upper limit of the moving range by its mean.
/// Source: NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.2 (published).
inline constexpr double kD2OfTwo = 1.128;
inline constexpr double kD4OfTwo = 3.267;

/// |x_i - x_(i-1)|, one fewer than the values; empty for fewer than two.
std::vector<double> moving_ranges(std::span<const double> values);

/// Mean of the values, and mean moving range / 1.128: a scatter that a slow drift does not widen.
/// Needs two values or more; sigma is 0 where all are equal, and cannot be used then.
/// Source: e-Handbook 6.3.2.2 (published).
InControl estimate_in_control(std::span<const double> values);

}  // namespace throughcure::fleet
