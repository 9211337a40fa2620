// What a light gives, in the numbers by which lights are compared.
#pragma once

#include <optional>
#include <vector>

#include "throughcure/optics/clip_level.hpp"
#include "throughcure/optics/light.hpp"
#include "throughcure/optics/local_irradiance.hpp"

namespace throughcure::optics {

/// What the report is asked to look at.
struct BeamQuestions {
  double below_mw_cm2 = 400;      ///< > 0; a local irradiance that many ask for at least (common practice)
  double clip_level = 0.1;        ///< eta of ISO 13694; a tenth takes in nearly the whole tip (common practice)
  double spot_aperture_mm = 1;    ///< > 0; about the size of a proximal box's floor (common practice)
  double sensor_aperture_mm = 4;  ///< > 0; where the light's readings against distance name no sensor (common practice)
};

/// A value, and the interval it lies in where that is known.
struct Interval {
  double value = 0;
  std::optional<double> low{};
  std::optional<double> high{};
};

/// Shares [0..1] of the radiant power. The limits part what initiators take up from ultraviolet and from mere light.
struct SpectralShares {
  double below_385_nm = 0;
  double from_385_to_515_nm = 0;
  double above_515_nm = 0;
};

/// Second-moment widths (beam_widths.hpp) in the tip's frame: x to the right and y upwards for one who looks at its
/// face.
struct BeamAxes {
  double centroid_x_mm = 0;
  double centroid_y_mm = 0;
  double larger_mm = 0;  ///< D4sigma diameters along the principal axes
  double smaller_mm = 0;
  double tilt_deg = 0;     ///< of the larger one, from x towards y, in [-90, 90)
  bool converged = false;  ///< whether the window of integration came to rest
};

/// Mean irradiance over a round sensor on the axis, parallel to the face.
struct AxialReading {
  double distance_mm = 0;
  double irradiance_mw_cm2 = 0;
};

/// Irradiances of the tip's plane take the radiant power at a share of 1. ISO 11146 and 13694 (kind: standard) work on
/// the whole picture as measured; what is absolute counts what lies on the tip.
struct BeamReport {
  double tip_area_mm2 = 0;
  Interval radiant_power_mw{};
  Interval exitance_mw_cm2{};  ///< power by optical tip area
  SpectralShares spectrum{};
  double peak_nm = 0;
  BeamAxes axes{};
  ClipLevel clip{};  ///< irradiances in mW/cm2
  double edge_steepness = 0;
  WeakPart weak{};
  Spots spots{};
  double sensor_aperture_mm = 0;
  std::vector<AxialReading> on_axis{};  ///< at 0, 2, 4, 6, 8, 10 mm
  std::optional<double>
      picture_share_inside{};  ///< of the picture's light, what lies on the tip; none without a picture
};

/// `mw_cm2` is the light's own exitance_image. Some milliseconds.
BeamReport beam_report(const Light& light, const BeamImage& mw_cm2, const BeamQuestions& questions = {});

/// Radiant exitance [mW/cm2] of the light, at its power and at the limits of that.
Interval radiant_exitance(const Light& light);

/// Power outside the spectrum's own points counts as none.
SpectralShares spectral_shares(const Spectrum& spectrum);

}  // namespace throughcure::optics
