// How the irradiance lies over a tip: where it is largest and smallest over a small aperture, and how much is weak.
#pragma once

#include "throughcure/optics/beam_image.hpp"

namespace throughcure::optics {

// All of these take a picture of the tip's plane in mW/cm2, background off. Places are in mm from the tip's axis, x to
// the right and y upwards for one who looks at the tip's face.

/// Mean irradiance over a small round aperture, and where its middle lies.
struct Spot {
  double x_mm = 0;
  double y_mm = 0;
  double irradiance_mw_cm2 = 0;
};
struct Spots {
  double aperture_mm = 0;  ///< its diameter
  Spot hottest{};
  Spot coldest{};
};

/// The aperture is moved over every pixel where it lies wholly on the tip (so that a cold spot is no mere edge); a tip
/// smaller than the aperture has it in the middle only. The mean is that of the pixels whose middles lie in the
/// aperture, the one under its middle at least. Of equal spots (within 1e-9) the one nearest to
/// the axis counts, then the first from the top left.
Spots spots(const BeamImage& mw_cm2, double tip_diameter_mm, double aperture_mm);

/// What of a tip stays below an irradiance.
struct WeakPart {
  double below_mw_cm2 = 0;
  double area_mm2 = 0;
  double share_of_area = 0;   ///< of the tip [0..1]
  double share_of_power = 0;  ///< of the radiant power [0..1]; negative noise counts as no power
};

/// Counted pixel by pixel over the tip. A noisy picture of fine pixels scatters about the limit: what lies below it is
/// then the pixels' share, not that of an area one could point at.
WeakPart weak_part(const BeamImage& mw_cm2, double tip_diameter_mm, double below_mw_cm2);

}  // namespace throughcure::optics
