#include "throughcure/fleet/reading_factor.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>

namespace throughcure::fleet {

LnFactor aperture_factor(const HistoryRadiometer& radiometer, double tip_diameter_mm, const FactorSettings& settings) {
  if (!radiometer.aperture_mm || !(tip_diameter_mm > 0) || !(*radiometer.aperture_mm > 0)) {
    return {.mean = 0, .sd = settings.unknown_aperture_sd};
  }
  if (tip_diameter_mm > *radiometer.aperture_mm) return settings.larger_tip;
  const double half = std::log(tip_diameter_mm / *radiometer.aperture_mm);
  return {.mean = half, .sd = std::abs(half) * std::numbers::inv_sqrt3};
}

LnFactor spectral_factor(const HistoryRadiometer& radiometer, bool emits_violet, const FactorSettings& settings) {
  switch (radiometer.spectral_class) {
    case SpectralClass::kBroad:
      break;
    case SpectralClass::kBlue:
      if (emits_violet) return settings.violet_unseen;
      break;
    case SpectralClass::kUnknown:
      return emits_violet ? settings.violet_perhaps : LnFactor{.mean = 0, .sd = settings.unknown_spectrum_sd};
  }
  return {.mean = 0, .sd = settings.spectrum_sd};
}

double radiometer_error_sd(const HistoryRadiometer& radiometer, base::Instant at, const FactorSettings& settings) {
  const auto after = std::ranges::upper_bound(radiometer.calibrations, at, {}, &Calibration::from);
  if (after == radiometer.calibrations.begin()) return settings.radiometer_sd;
  const Calibration& last = *std::prev(after);
  return last.expanded && at < last.until ? *last.expanded / 2 : settings.radiometer_sd;
}

double least_radiometer_error_sd(const HistoryRadiometer& radiometer, const FactorSettings& settings) {
  double least = settings.radiometer_sd;
  for (const Calibration& one : radiometer.calibrations) {
    if (one.expanded) least = std::min(least, *one.expanded / 2);
  }
  return least;
}

double second_sd(std::optional<double> second_of_press, const FactorSettings& settings) {
  return second_of_press && *second_of_press >= settings.settled_second ? 0 : settings.other_second_sd;
}

}  // namespace throughcure::fleet
