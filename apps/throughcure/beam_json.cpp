#include <nlohmann/json.hpp>

#include "beam_text.hpp"

namespace throughcure::apps {

namespace {

using Json = nlohmann::ordered_json;

Json as_json(const optics::Interval& interval) {
  Json out{{"value", interval.value}};
  if (interval.low) out["low"] = *interval.low;
  if (interval.high) out["high"] = *interval.high;
  return out;
}

Json as_json(const optics::Spot& spot) {
  return {{"irradiance_mw_cm2", spot.irradiance_mw_cm2}, {"x_mm", spot.x_mm}, {"y_mm", spot.y_mm}};
}

}  // namespace

std::string beam_json(const optics::Light& light, const optics::BeamReport& report) {
  Json power = as_json(report.radiant_power_mw);
  power["kind"] = base::word(light.radiant_power_mw.kind);
  power["source"] = light.radiant_power_mw.source;
  Json distance = Json::array();
  for (const optics::AxialReading& reading : report.on_axis) {
    distance.push_back({{"distance_mm", reading.distance_mm}, {"irradiance_mw_cm2", reading.irradiance_mw_cm2}});
  }
  Json out{
      {"light", light.name},
      {"kind", base::word(light.provenance.kind)},
      {"source", light.provenance.source},
      {"tip_diameter_mm", light.tip_diameter_mm},
      {"tip_area_mm2", report.tip_area_mm2},
      {"radiant_power_mw", power},
      {"radiant_exitance_mw_cm2", as_json(report.exitance_mw_cm2)},
      {"spectrum",
       {{"below_385_nm", report.spectrum.below_385_nm},
        {"from_385_to_515_nm", report.spectrum.from_385_to_515_nm},
        {"above_515_nm", report.spectrum.above_515_nm},
        {"peak_nm", report.peak_nm}}},
      {"widths",
       {{"source", "ISO 11146-1"},
        {"kind", "standard"},
        {"centroid_x_mm", report.axes.centroid_x_mm},
        {"centroid_y_mm", report.axes.centroid_y_mm},
        {"larger_d4sigma_mm", report.axes.larger_mm},
        {"smaller_d4sigma_mm", report.axes.smaller_mm},
        {"tilt_deg", report.axes.tilt_deg},
        {"converged", report.axes.converged}}},
      {"evenness",
       {{"source", "ISO 13694"},
        {"kind", "standard"},
        {"clip_level", report.clip.clip_level},
        {"largest_mw_cm2", report.clip.largest},
        {"area_mm2", report.clip.area_mm2},
        {"fractional_power", report.clip.fractional_power},
        {"average_mw_cm2", report.clip.average},
        {"flatness", report.clip.flatness},
        {"uniformity", report.clip.uniformity},
        {"edge_steepness", report.edge_steepness}}},
      {"below",
       {{"irradiance_mw_cm2", report.weak.below_mw_cm2},
        {"area_mm2", report.weak.area_mm2},
        {"share_of_area", report.weak.share_of_area},
        {"share_of_power", report.weak.share_of_power}}},
      {"spots",
       {{"aperture_mm", report.spots.aperture_mm},
        {"hottest", as_json(report.spots.hottest)},
        {"coldest", as_json(report.spots.coldest)}}},
      {"on_axis", {{"sensor_aperture_mm", report.sensor_aperture_mm}, {"readings", distance}}},
  };
  if (report.picture_share_inside) out["picture_share_on_tip"] = *report.picture_share_inside;
  return out.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace throughcure::apps
