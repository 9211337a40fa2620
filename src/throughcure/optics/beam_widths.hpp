// Where a beam is and how wide: centroid and second-moment diameters of ISO 11146.
#pragma once

#include "throughcure/optics/beam_image.hpp"

namespace throughcure::optics {

/// Centroid and D4sigma diameters along the beam's own (principal) axes.
struct BeamWidths {
  double centroid_x_mm = 0;  ///< from the tip's axis, to the right in the picture
  double centroid_y_mm = 0;  ///< from the tip's axis, downwards in the picture
  double major_mm = 0;       ///< larger D4sigma diameter
  double minor_mm = 0;       ///< smaller D4sigma diameter
  double tilt_rad = 0;       ///< from the picture's x axis towards its y axis to the larger diameter, in (-pi/2, pi/2]
  bool converged = false;    ///< whether the window of integration came to rest
};

/// Second moments over a window of `window` (3 in the standard) times the diameters, turned to the principal axes
/// (left upright and square where the beam may be called circular: ellipticity above 0.87), repeated until it comes to
/// rest (1e-6 of the diameters, 100 rounds at most). Background must be off already;
/// negative residuals are kept. d^2 = 8 (s_xx + s_yy) +- 8 sqrt((s_xx - s_yy)^2 + 4 s_xy^2).
/// Widths are 0 and `converged` is false where the picture holds no net light.
/// Source: ISO 11146-1 and 11146-3 (kind: standard).
BeamWidths beam_widths(const BeamImage& image, double window = 3);

}  // namespace throughcure::optics
