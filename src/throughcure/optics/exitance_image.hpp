// The tip's own plane in absolute terms: how much comes out where, pixel by pixel.
#pragma once

#include "throughcure/optics/light.hpp"

namespace throughcure::optics {

/// Irradiance of the tip's plane [mW/cm2]: the light's picture as it was measured (also beyond the tip's edge, and with
/// its small negative values), scaled so that what lies inside the tip, never counted below zero, carries the radiant
/// power. A uniform or Gaussian beam is painted into 401 pixels across the tip, with nothing outside it.
/// A picture must hold some light inside the tip; a reader has checked this.
BeamImage exitance_image(const Light& light);

/// Whether the middle of a pixel lies on the tip.
inline bool on_tip(const BeamImage& image, std::size_t column, std::size_t row, double tip_radius_mm) {
  const double x = image.x_mm(column);
  const double y = image.y_mm(row);
  return x * x + y * y <= tip_radius_mm * tip_radius_mm;
}

}  // namespace throughcure::optics
