// Two functions that every collision needs, for the arguments that it brings: shorter than the library's, which must
// take any. The same bits on every machine, since they only add and multiply.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>

namespace throughcure::base {

/// exp(-x) for x >= 0, to 2 units in the last place. Short below 1/16, where Taylor's series ends early.
inline double exp_minus(double x) {
  if (!(x < 0.0625)) return std::exp(-x);
  // sum (-x)^k / k!, k = 0 .. 8; the next term is below 4e-17
  double sum = 1.0 / 40320;
  sum = 1.0 / 5040 - x * sum;
  sum = 1.0 / 720 - x * sum;
  sum = 1.0 / 120 - x * sum;
  sum = 1.0 / 24 - x * sum;
  sum = 1.0 / 6 - x * sum;
  sum = 0.5 - x * sum;
  sum = 1.0 - x * sum;
  return 1.0 - x * sum;
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
  double s = 1.0 / 1307674368000;
  s = 1.0 / 6227020800 - a2 * s;
  s = 1.0 / 39916800 - a2 * s;
  s = 1.0 / 362880 - a2 * s;
  s = 1.0 / 5040 - a2 * s;
  s = 1.0 / 120 - a2 * s;
  s = 1.0 / 6 - a2 * s;
  s = a - a * a2 * s;
  double c = 1.0 / 87178291200;
  c = 1.0 / 479001600 - a2 * c;
  c = 1.0 / 3628800 - a2 * c;
  c = 1.0 / 40320 - a2 * c;
  c = 1.0 / 720 - a2 * c;
  c = 1.0 / 24 - a2 * c;
  c = 0.5 - a2 * c;
  c = 1.0 - a2 * c;
  // A table, not branches: the quarter is random.
  const std::array<double, 6> around = {c, -s, -c, s, c, -s};
  const auto q = static_cast<std::size_t>(quarter);
  return {around[q], -around[q + 1]};
}

}  // namespace throughcure::base
