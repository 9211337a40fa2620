// Two functions that every collision needs, for the arguments that it brings: shorter than the library's, which must
// take any. The same bits on every machine, since they only add and multiply.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>

namespace throughcure::base {

/// c_0 - x (c_1 - x (c_2 - ...)), the coefficients given from the last to c_0.
template <class... Coefficients>
inline double alternating(double x, double last, Coefficients... before) {
  double sum = last;
  ((sum = before - x * sum), ...);
  return sum;
}

/// exp(-x) for x >= 0, to 2 units in the last place. Short below 1/16, where Taylor's series ends early.
inline double exp_minus(double x) {
  if (!(x < 0.0625)) return std::exp(-x);
  // sum (-x)^k / k!, k = 0 .. 8; the next term is below 4e-17
  return alternating(x, 1.0 / 40320, 1.0 / 5040, 1.0 / 720, 1.0 / 120, 1.0 / 24, 1.0 / 6, 0.5, 1.0, 1.0);
}

/// A point of the unit circle.
struct OnCircle {
  double cosine = 1;
  double sine = 0;
};

/// The point after `turns` of a whole turn, turns in [0, 1]; to 1e-15.
inline OnCircle on_circle(double turns) {
  // The nearest quarter turn, and what is left of it: an angle within +- pi/4, where the series are short.
  // NOLINTNEXTLINE(bugprone-incorrect-roundings): never negative, and at a tie either quarter will do
  const int quarter = static_cast<int>(4 * turns + 0.5);
  const double a = 1.5707963267948966 * (4 * turns - quarter);
  const double a2 = a * a;
  const double s = a - a * a2 *
                           alternating(a2, 1.0 / 1307674368000, 1.0 / 6227020800, 1.0 / 39916800, 1.0 / 362880,
                                       1.0 / 5040, 1.0 / 120, 1.0 / 6);
  const double c =
      alternating(a2, 1.0 / 87178291200, 1.0 / 479001600, 1.0 / 3628800, 1.0 / 40320, 1.0 / 720, 1.0 / 24, 0.5, 1.0);
  // A table, not branches: the quarter is random.
  const std::array<double, 6> around = {c, -s, -c, s, c, -s};
  const auto q = static_cast<std::size_t>(quarter);
  return {around[q], -around[q + 1]};
}

}  // namespace throughcure::base
