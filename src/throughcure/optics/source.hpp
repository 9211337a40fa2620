// A tip as the transport of light takes it: radiance from any place into any direction, and draws from it.
#pragma once

#include "throughcure/base/vec3.hpp"
#include "throughcure/optics/angular_shape.hpp"
#include "throughcure/optics/tip_map.hpp"

namespace throughcure::optics {

/// One draw from a tip: where its light leaves, which way, and with what density [1/(mm2 sr)] both were drawn.
struct TipRay {
  double x_mm = 0;
  double y_mm = 0;
  base::Direction direction{};
  double density = 0;
};

/// A tip for 1 mW of radiant power, in its own frame: the face is a disc about the origin in the plane z = 0, +z is the
/// tip's axis, away from the light. Plain data, the same from all threads. Place and direction are independent.
struct TipSource {
  TipMap map{};
  AngularShape shape{};
  double core_factor = 0;  ///< share of the core x its lobe's factor [1/sr]
  double tail_factor = 0;

  /// Radiance for 1 mW [1/(mm2 sr)]; 0 outside the tip and behind it. The integral of radiance cos(theta) over tip and
  /// half sphere is 1.
  [[nodiscard]] double radiance_per_mw(double x_mm, double y_mm, double cos_theta) const {
    if (cos_theta <= 0) return 0;
    const double exitance = map.at(x_mm, y_mm);
    if (exitance <= 0) return 0;
    return exitance * (core_factor * std::pow(cos_theta, shape.core_exponent) +
                       tail_factor * std::pow(cos_theta, shape.tail_exponent));
  }
};

TipSource tip_source(const Light& light);
TipSource tip_source(TipMap map, const AngularShape& shape);

/// A draw from four numbers in (0, 1): its density is radiance_per_mw x cos(theta), so every draw carries the same
/// power.
TipRay sample(const TipSource& source, double u1, double u2, double u3, double u4);

/// Mean irradiance for 1 mW [1/mm2] over a round sensor on the tip's axis, parallel to its face (times 100: mW/cm2 for
/// 1 mW). Takes about a millisecond: for many shapes of one tip use `axial_view`.
double irradiance_per_mw(const TipSource& source, double distance_mm, double sensor_radius_mm);

}  // namespace throughcure::optics
