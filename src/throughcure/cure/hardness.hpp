// From conversion to hardness, and the reference piece that a cell's conversion is compared with.
#pragma once

#include "throughcure/cure/conversion_curve.hpp"
#include "throughcure/cure/kinetics.hpp"

namespace throughcure::cure {

/// Bottom-to-top hardness ratio of a piece whose conversions stand as `conversion_ratio` = X / X_ref:
/// 1 - (1 - ratio) / slope, never below 0. Fitted from a hardness ratio of 0.5 to 1; below that it only says "soft".
/// Above 1 it goes on straight: a cell may be harder than the reference.
/// Source: linear relation of Bouschlicher, Rueggeberg, Wilson 2004, slope 0.525 (derived from it).
double hardness_ratio(double conversion_ratio, double slope);

/// The conversion ratio at which that gives `hardness` [0..1]: 0.895 for 0.80.
double conversion_ratio_for(double hardness, double slope);

/// The light that the reference piece gets at its reference depth (criterion: 24 J/cm2 at an open surface, 0.2 to
/// 0.5 mm below it, below the air-inhibited skin).
struct ReferenceLight {
  double phi_mw_cm2 = 0;  ///< fluence rate there
  double seconds = 0;     ///< until the surface has had its radiant exposure
};

/// X_ref: the conversion of the reference piece, of the same material (draw) and at the same temperature as the curve,
/// `after_s` after the light.
double reference_conversion(const RateLaw& law, const ConversionCurve& curve, double temperature_c,
                            const ReferenceLight& light, double after_s = kDay_s);

}  // namespace throughcure::cure
