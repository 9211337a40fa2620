// Conversion of many cells after a schedule of exposures, one draw at a time: the inner loop of every verdict.
#pragma once

#include <span>

#include "throughcure/cure/conversion_curve.hpp"
#include "throughcure/cure/kinetics.hpp"

namespace throughcure::cure {

/// One exposure as the cells see it, for one draw.
struct CellExposure {
  std::span<const double> phi_mw_cm2;  ///< of each cell, at full power, >= 0
  std::span<const double> ln_phi;      ///< ln(phi / 1000 mW/cm2) of each, made once a pose; -inf where it is dark
  std::span<const Piece> press;
  double pause_before_s = 0;  ///< in the dark since the exposure before
};

/// Conversion of each cell `dark_s` after the last exposure, at the curve's temperature. The same as `expose` and
/// `after_dark` cell by cell, but without allocation, with one exponential a cell and piece, and with one look into the
/// curve for as many exposures as follow each other without a pause. All spans are as long as `x`.
void cure_cells(const RateLaw& law, const ConversionCurve& curve, double temperature_c,
                std::span<const CellExposure> exposures, double dark_s, std::span<double> x);

}  // namespace throughcure::cure
