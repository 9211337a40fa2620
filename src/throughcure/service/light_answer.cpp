#include "throughcure/service/light_answer.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "throughcure/optics/beam_report.hpp"
#include "throughcure/optics/source.hpp"

namespace throughcure::service {

namespace {

constexpr std::size_t kMapPixels = 81;
constexpr std::size_t kDistancePoints = 61;
constexpr double kShortestCurve_mm = 12;
/// The sensor that the curve is drawn for where nobody has measured one: small beside any tip.
constexpr double kOtherwiseAperture_mm = 4;

LightView::Map map_of(const optics::Light& light, const optics::TipMap& tip) {
  // A little more than the tip, so that its edge can be seen.
  const double half = 1.05 * tip.radius_mm;
  LightView::Map map{.columns = kMapPixels,
                     .rows = kMapPixels,
                     .mm_per_pixel = 2 * half / (kMapPixels - 1),
                     .left_mm = -half,
                     .top_mm = -half,
                     .irradiance_mw_cm2 = {}};
  map.irradiance_mw_cm2.reserve(kMapPixels * kMapPixels);
  for (std::size_t row = 0; row < kMapPixels; ++row) {
    for (std::size_t column = 0; column < kMapPixels; ++column) {
      const double x = map.left_mm + static_cast<double>(column) * map.mm_per_pixel;
      const double down = map.top_mm + static_cast<double>(row) * map.mm_per_pixel;
      map.irradiance_mw_cm2.push_back(100 * light.radiant_power_mw.value * tip.at(x, -down));
    }
  }
  return map;
}

LightView::Distance distance_of(const optics::Light& light, const optics::TipSource& source) {
  LightView::Distance distance;
  distance.aperture_mm = light.fitted ? light.fitted->series.aperture_diameter_mm : kOtherwiseAperture_mm;
  double farthest = kShortestCurve_mm;
  if (light.fitted) {
    distance.measured_mm = light.fitted->series.distance_mm;
    distance.measured_mw_cm2 = light.fitted->series.irradiance_mw_cm2;
    farthest = std::max(farthest, distance.measured_mm.back());
  }
  for (std::size_t i = 0; i < kDistancePoints; ++i) {
    const double mm = farthest * static_cast<double>(i) / (kDistancePoints - 1);
    distance.mm.push_back(mm);
    distance.irradiance_mw_cm2.push_back(100 * light.radiant_power_mw.value *
                                         irradiance_per_mw(source, mm, distance.aperture_mm / 2));
  }
  return distance;
}

LightView::Spectrum spectrum_of(const optics::Light& light) {
  LightView::Spectrum spectrum{.wavelength_nm = light.spectrum.wavelength_nm, .power_mw_per_nm = {}};
  const double scale = light.radiant_power_mw.value / optics::whole_power(light.spectrum);
  for (const double value : light.spectrum.power_per_nm) spectrum.power_mw_per_nm.push_back(value * scale);
  return spectrum;
}

/// How the light leaves the tip; what its image says stands beside it.
std::vector<MeasureView> measures_of(const optics::Light& light) {
  std::vector<MeasureView> all = {
      {"Half-angle of the radiance", half_angle_deg(light.shape), "deg",
       light.fitted ? "fitted to the readings against distance" : "stated in the light's file"},
      {"Share of the power within 30 degrees of the axis", 100 * share_inside(light.shape, 30), "%",
       "from the same angular shape"}};
  if (light.fitted) {
    all.push_back({"Radiant power that the readings imply", light.fitted->implied_power_mw, "mW",
                   "fitted to the readings against distance"});
    all.push_back({"Readings off the fitted curve, root mean square", 100 * light.fitted->residual, "%",
                   "fitted to the readings against distance"});
  }
  return all;
}

}  // namespace

LightRow row_of(const optics::Light& light, std::string id) {
  return {.id = std::move(id),
          .name = light.name,
          .tip_diameter_mm = light.tip_diameter_mm,
          .exitance_mw_cm2 = optics::radiant_exitance(light),
          .problems = {}};
}

LightView view_of(const optics::Light& light, std::string id) {
  const optics::TipSource source = optics::tip_source(light);
  const base::Sourced& power = light.radiant_power_mw;
  LightView view;
  view.id = std::move(id);
  view.name = light.name;
  view.tip_diameter_mm = light.tip_diameter_mm;
  view.power_mw = {power.value, power.low, power.high};
  view.exitance_mw_cm2 = optics::radiant_exitance(light);
  const optics::SpectralShares shares = optics::spectral_shares(light.spectrum);
  view.share_below_385_nm = shares.below_385_nm;
  view.share_385_to_515_nm = shares.from_385_to_515_nm;
  view.share_above_515_nm = shares.above_515_nm;
  view.map = map_of(light, source.map);
  view.beam = measures_of(light);
  view.spectrum = spectrum_of(light);
  view.distance = distance_of(light, source);
  return view;
}

}  // namespace throughcure::service
