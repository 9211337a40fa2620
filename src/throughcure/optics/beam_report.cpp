#include "throughcure/optics/beam_report.hpp"

#include <algorithm>
#include <numbers>
#include <variant>

#include "throughcure/optics/beam_widths.hpp"
#include "throughcure/optics/source.hpp"

namespace throughcure::optics {

namespace {

/// From the picture's frame, y downwards, into the tip's.
BeamAxes in_tips_frame(const BeamWidths& widths) {
  return {.centroid_x_mm = widths.centroid_x_mm,
          .centroid_y_mm = -widths.centroid_y_mm,
          .larger_mm = widths.major_mm,
          .smaller_mm = widths.minor_mm,
          .tilt_deg = -widths.tilt_rad * 180 / std::numbers::pi,
          .converged = widths.converged};
}

std::vector<AxialReading> on_axis(const Light& light, double sensor_aperture_mm) {
  const TipSource source = tip_source(light);
  std::vector<AxialReading> out;
  for (const double mm : {0.0, 2.0, 4.0, 6.0, 8.0, 10.0}) {
    const double per_mw = irradiance_per_mw(source, mm, sensor_aperture_mm / 2);
    out.push_back({mm, 100 * light.radiant_power_mw.value * per_mw});
  }
  return out;
}

}  // namespace

Interval radiant_exitance(const Light& light) {
  const base::Sourced& power = light.radiant_power_mw;
  Interval out{.value = exitance_mw_cm2(light, power.value)};
  if (power.low) out.low = exitance_mw_cm2(light, *power.low);
  if (power.high) out.high = exitance_mw_cm2(light, *power.high);
  return out;
}

SpectralShares spectral_shares(const Spectrum& spectrum) {
  const double first = spectrum.wavelength_nm.front();
  const double last = spectrum.wavelength_nm.back();
  const auto share = [&](double from, double to) {
    const double low = std::clamp(from, first, last);
    const double high = std::clamp(to, first, last);
    return high > low ? share_between(spectrum, low, high) : 0;
  };
  return {share(first, 385), share(385, 515), share(515, last)};
}

BeamReport beam_report(const Light& light, const BeamImage& mw_cm2, const BeamQuestions& questions) {
  const base::Sourced& power = light.radiant_power_mw;
  BeamReport report;
  report.tip_area_mm2 = tip_area_mm2(light);
  report.radiant_power_mw = {power.value, power.low, power.high};
  report.exitance_mw_cm2 = radiant_exitance(light);
  report.spectrum = spectral_shares(light.spectrum);
  report.peak_nm = peak_wavelength_nm(light.spectrum);
  report.axes = in_tips_frame(beam_widths(mw_cm2));
  report.clip = clip_level(mw_cm2, questions.clip_level);
  report.edge_steepness = edge_steepness(mw_cm2);
  report.weak = weak_part(mw_cm2, light.tip_diameter_mm, questions.below_mw_cm2);
  report.spots = spots(mw_cm2, light.tip_diameter_mm, questions.spot_aperture_mm);
  report.sensor_aperture_mm = light.fitted ? light.fitted->series.aperture_diameter_mm : questions.sensor_aperture_mm;
  report.on_axis = on_axis(light, report.sensor_aperture_mm);
  if (const auto* picture = std::get_if<BeamImage>(&light.beam)) {
    report.picture_share_inside = share_inside_tip(*picture, light.tip_diameter_mm);
  }
  return report;
}

}  // namespace throughcure::optics
