// A curing light as it is known: what its tip gives, from where, in which directions, at which wavelengths, and when.
#pragma once

#include <numbers>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "throughcure/base/sourced.hpp"
#include "throughcure/optics/angular_shape.hpp"
#include "throughcure/optics/beam_image.hpp"
#include "throughcure/optics/distance_series.hpp"
#include "throughcure/optics/mode.hpp"
#include "throughcure/optics/spectrum.hpp"

namespace throughcure::optics {

/// The same exitance all over the optical tip.
struct UniformDisc {};
/// A Gaussian about the tip's axis, cut off at the edge of the optical tip.
struct GaussianBeam {
  double diameter_mm = 0;  ///< where it falls to 1/e^2 of its middle; D4sigma of the uncut beam
};
/// How the exitance lies over the tip. Of a picture only the form counts, inside the optical tip, and never below zero.
using Beam = std::variant<UniformDisc, GaussianBeam, BeamImage>;

/// Where the angular shape comes from.
struct FittedShape {
  DistanceSeries series;
  double implied_power_mw = 0;  ///< what the readings themselves imply [mW]; the shape does not depend on it
  double residual = 0;          ///< root of the mean square of (model - reading) / reading over the series [1]
};

struct Light {
  std::string name;
  base::Provenance provenance{};
  double tip_diameter_mm = 0;        ///< of the optical tip: where the light comes out
  base::Sourced radiant_power_mw{};  ///< at a share of 1 [mW]; low and high where the interval is known
  Spectrum spectrum{};               ///< only its form counts; the power is `radiant_power_mw`
  Beam beam{};
  AngularShape shape{};
  std::optional<FittedShape> fitted{};  ///< the readings that gave `shape`; none where a half-angle was stated
  std::vector<Mode> modes{};            ///< one at least
  double head_size_mm = 0;              ///< room that the head needs along the tip's axis, the tip included
  double tip_angle_deg = 0;             ///< between the tip's axis and the handle's
};

/// Area of the optical tip [mm2].
inline double tip_area_mm2(const Light& light) {
  return std::numbers::pi / 4 * light.tip_diameter_mm * light.tip_diameter_mm;
}

/// Radiant exitance [mW/cm2] that a radiant power [mW] of this light stands for: power by area of the optical tip.
inline double exitance_mw_cm2(const Light& light, double radiant_power_mw) {
  return radiant_power_mw / tip_area_mm2(light) * 100;
}

}  // namespace throughcure::optics
