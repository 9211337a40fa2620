// Irradiance on the axis of a tip, read at several distances by a sensor with a round aperture.
#pragma once

#include <vector>

namespace throughcure::optics {

/// The sensor's aperture lies parallel to the tip's face, its middle on the tip's axis. Distances [mm] from the face,
/// >= 0, strictly rising, two or more; the mean irradiance [mW/cm2] over the aperture at each, > 0.
struct DistanceSeries {
  double aperture_diameter_mm = 0;
  std::vector<double> distance_mm;
  std::vector<double> irradiance_mw_cm2;
};

}  // namespace throughcure::optics
