#include "throughcure/optics/angular_shape.hpp"

namespace throughcure::optics {

namespace {

constexpr double kRadPerDeg = std::numbers::pi / 180;

/// Where a falling function of `x` crosses zero between `low` and `high`, to the last bit that matters.
template <class Function>
double falling_root(double low, double high, const Function& function) {
  for (int i = 0; i < 100; ++i) {
    const double middle = (low + high) / 2;
    (function(middle) > 0 ? low : high) = middle;
  }
  return (low + high) / 2;
}

double relative_radiance(const AngularShape& shape, double angle_deg) {
  return radiance_per_exitance(shape, std::cos(angle_deg * kRadPerDeg)) / radiance_per_exitance(shape, 1);
}

}  // namespace

double share_inside(const AngularShape& shape, double angle_deg) {
  const double c = std::cos(angle_deg * kRadPerDeg);
  const auto inside = [c](double exponent) { return 1 - std::pow(c, exponent + 2); };
  return std::lerp(inside(shape.core_exponent), inside(shape.tail_exponent), shape.tail_share);
}

double half_angle_deg(const AngularShape& shape) {
  return falling_root(0, 90, [&shape](double angle) { return relative_radiance(shape, angle) - 0.5; });
}

AngularShape shape_of_half_angle(double half_angle_deg, double tail_share) {
  // With exponent 0 the ratio is 1; it falls towards 0 as the core narrows.
  const double exponent = falling_root(0, 1e7, [&](double core) {
    return relative_radiance({.core_exponent = core, .tail_exponent = 0, .tail_share = tail_share}, half_angle_deg) -
           0.5;
  });
  return {.core_exponent = exponent, .tail_exponent = 0, .tail_share = tail_share};
}

}  // namespace throughcure::optics
