// The angular shape that explains how a tip's irradiance falls with distance.
#pragma once

#include "throughcure/optics/angular_shape.hpp"
#include "throughcure/optics/distance_series.hpp"
#include "throughcure/optics/tip_map.hpp"

namespace throughcure::optics {

struct ShapeFit {
  AngularShape shape{};
  double radiant_power_mw = 0;  ///< what the readings imply; their scale is free, so the shape does not depend on it
  double residual = 0;          ///< root of the mean square of (model - reading) / reading [1]
};

/// Least squares of the relative deviations. The model integrates over the tip as `map` has it and over the sensor's
/// aperture (see axial_view.hpp). Exponents lie from 0 to 400 (half-angle 3.4 degrees). With fewer than five readings
/// the tail is Lambertian. Always the same answer for the same readings: a grid of exponent pairs, the shares in closed
/// form for each, then golden sections about the best pair.
/// What it does not promise: two shapes that give the same readings cannot be told apart.
ShapeFit fit_shape(const TipMap& map, const DistanceSeries& series);

}  // namespace throughcure::optics
