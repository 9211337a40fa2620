// What a round sensor on the tip's axis sees of the tip: its irradiance for lobes of any exponent.
#pragma once

#include <vector>

#include "throughcure/optics/angular_shape.hpp"
#include "throughcure/optics/tip_map.hpp"

namespace throughcure::optics {

/// One tip seen by one sensor at one distance. Of the power that a lobe of exponent k sends out from a point, the share
/// 1 - cos^(k+2) stays inside a cone of that angle; a sensor's edge, seen from that point, is a closed line of such
/// cones. `weight` and `log_cos` are the nodes of the integral along the edge and over the tip:
/// E / P = sum of weight (1 - exp((k + 2) log_cos)). Only exact geometry and quadrature: no random numbers.
struct AxialView {
  struct Term {
    double weight = 0;  ///< [1/mm2]
    double log_cos = 0;
  };
  std::vector<Term> terms;
};

/// The sensor's disc lies parallel to the tip's face at `distance_mm` >= 0, its middle on the tip's axis. A sensor of
/// less than a thousandth of the tip's radius is taken as one of that.
AxialView axial_view(const TipMap& map, double distance_mm, double sensor_radius_mm);

/// Mean irradiance over the sensor by radiant power [1/mm2] for one lobe cos^exponent, and for a shape of two.
double irradiance_per_mw(const AxialView& view, double exponent);
double irradiance_per_mw(const AxialView& view, const AngularShape& shape);

}  // namespace throughcure::optics
