// How even a beam is: the clip-level quantities of ISO 13694.
#pragma once

#include "throughcure/optics/beam_image.hpp"

namespace throughcure::optics {

/// Quantities over the area where the irradiance E exceeds `clip_level` x E_max. Relative units of the picture.
/// Source: ISO 13694 (kind: standard). Its plateau uniformity is left out: it is disputed.
struct ClipLevel {
  double clip_level = 0;        ///< eta, 0 <= eta < 1
  double largest = 0;           ///< E_max
  double area_mm2 = 0;          ///< A_eta, clip-level irradiation area
  double fractional_power = 0;  ///< f_eta = P_eta / P, P over the whole picture
  double average = 0;           ///< E_eta = P_eta / A_eta
  double flatness = 0;          ///< F_eta = E_eta / E_max; 1 for a perfect flat top
  double uniformity = 0;        ///< U_eta = rms of E - E_eta over A_eta, by E_eta; 0 for a perfect flat top
};

/// Background must be off already. All zero where the picture holds no light.
ClipLevel clip_level(const BeamImage& image, double level);

/// Edge steepness s = (A_low - A_high) / A_low at the clip levels `low` < `high` (usual: 0.1 and 0.9, common practice);
/// 0 for walls that stand upright. Source: ISO 13694 (kind: standard).
double edge_steepness(const BeamImage& image, double low = 0.1, double high = 0.9);

}  // namespace throughcure::optics
