// How a tip's radiance falls with the angle to its axis: a core and a tail, never a hard cone.
#pragma once

#include <cmath>
#include <numbers>

namespace throughcure::optics {

/// Two lobes, cos^core_exponent and cos^tail_exponent of the angle to the axis. Each carries its share of the radiant
/// power; exponent 0 is a Lambertian emitter. 0 <= tail_exponent <= core_exponent.
struct AngularShape {
  double core_exponent = 0;
  double tail_exponent = 0;
  double tail_share = 0;  ///< of the radiant power [0..1]
};

/// What turns cos^exponent into radiance per exitance [1/sr]: (exponent + 2) / (2 pi), so that the integral of
/// L cos(theta) over the half sphere is 1.
inline double lobe_factor(double exponent) { return (exponent + 2) / (2 * std::numbers::pi); }

/// Radiance by radiant exitance [1/sr] at a cosine of the angle to the axis in (0, 1]; 0 behind the tip.
inline double radiance_per_exitance(const AngularShape& shape, double cos_theta) {
  if (cos_theta <= 0) return 0;
  return (1 - shape.tail_share) * lobe_factor(shape.core_exponent) * std::pow(cos_theta, shape.core_exponent) +
         shape.tail_share * lobe_factor(shape.tail_exponent) * std::pow(cos_theta, shape.tail_exponent);
}

/// Share [0..1] of the power inside a cone of this half-angle about the axis.
double share_inside(const AngularShape& shape, double angle_deg);

/// The angle at which the radiance is half of that on the axis [deg]. 90 for a Lambertian emitter.
double half_angle_deg(const AngularShape& shape);

/// The shape whose radiance falls to half at `half_angle_deg` (0 < angle < 90), with a Lambertian tail that carries
/// `tail_share` (0 <= share < 1) of the power.
AngularShape shape_of_half_angle(double half_angle_deg, double tail_share);

}  // namespace throughcure::optics
