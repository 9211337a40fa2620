// What stands between a light's radiant exitance and what a hand radiometer shows of it, besides the radiometer's own
// error: the aperture against the tip, the spectrum it is made for, the second at which it is read.
#pragma once

#include <optional>

#include "throughcure/fleet/light_history.hpp"

namespace throughcure::fleet {

/// ln(shown / exitance) that a cause brings, and its standard uncertainty.
struct LnFactor {
  double mean = 0;
  double sd = 0;
};

/// Kinds as said beside each.
struct FactorSettings {
  double radiometer_sd =
      0.20;  ///< without a certificate in force: agreement within 20 % is the class (published, 2012)
  double unknown_aperture_sd = 0.15;              ///< from memory
  LnFactor larger_tip{.mean = 0.05, .sd = 0.10};  ///< larger tips are overestimated (published 2006; size from memory)
  double spectrum_sd = 0.03;                      ///< the radiometer's class covers the light; from memory
  double unknown_spectrum_sd = 0.05;              ///< from memory
  LnFactor violet_unseen{.mean = -0.10, .sd = 0.08};   ///< a blue radiometer, a light with violet; from memory
  LnFactor violet_perhaps{.mean = -0.05, .sd = 0.10};  ///< the same, class unknown; from memory
  double other_second_sd = 0.01;                       ///< of one reading; from memory
  double settled_second = 5;                           ///< from it on a reading counts as settled; from memory
};

/// A tip smaller than the aperture fills a part of it, (d/a)^2: a radiometer that divides by its aperture shows that
/// much less, one that is made for the tip nothing less. Between the two nothing is known: ln(d/a) with a rectangular
/// distribution of that half width (GUM 4.3.7). A larger tip: what `larger_tip` says.
LnFactor aperture_factor(const HistoryRadiometer& radiometer, double tip_diameter_mm,
                         const FactorSettings& settings = {});

LnFactor spectral_factor(const HistoryRadiometer& radiometer, bool emits_violet, const FactorSettings& settings = {});

/// Of the radiometer's error in a reading of that instant: half the expanded uncertainty of its last calibration before
/// it, or the class's where there is none, or its certificate had run out.
double radiometer_error_sd(const HistoryRadiometer& radiometer, base::Instant at, const FactorSettings& settings = {});

/// The least that it is in any reading.
double least_radiometer_error_sd(const HistoryRadiometer& radiometer, const FactorSettings& settings = {});

/// Of one reading: 0 where it was read at a settled second.
double second_sd(std::optional<double> second_of_press, const FactorSettings& settings = {});

}  // namespace throughcure::fleet
