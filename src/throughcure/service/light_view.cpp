#include "throughcure/service/light_view.hpp"

#include <cmath>

#include <nlohmann/json.hpp>

namespace throughcure::service {

namespace {

using nlohmann::json;

/// Six significant digits; what is no number becomes null.
json number(double value) {
  if (!std::isfinite(value)) return nullptr;
  if (value == 0) return 0;
  const double scale = std::pow(10.0, 5 - std::floor(std::log10(std::abs(value))));
  const double rounded = std::round(value * scale) / scale;
  return std::isfinite(rounded) ? rounded : value;
}

json numbers(const std::vector<double>& values) {
  json out = json::array();
  for (const double value : values) out.push_back(number(value));
  return out;
}

json uncertain(const optics::Interval& quantity) {
  json out{{"value", number(quantity.value)}};
  if (quantity.low) out["low"] = number(*quantity.low);
  if (quantity.high) out["high"] = number(*quantity.high);
  return out;
}

std::string text(const json& document) { return document.dump(-1, ' ', false, json::error_handler_t::replace) + "\n"; }

}  // namespace

std::string to_json(const std::vector<LightRow>& rows) {
  json list = json::array();
  for (const LightRow& row : rows) {
    json one{{"id", row.id}, {"name", row.name}, {"problems", row.problems}};
    if (row.tip_diameter_mm) one["tip_diameter_mm"] = number(*row.tip_diameter_mm);
    if (row.exitance_mw_cm2) one["exitance_mw_cm2"] = uncertain(*row.exitance_mw_cm2);
    list.push_back(std::move(one));
  }
  return text({{"lights", std::move(list)}});
}

std::string to_json(const LightView& light) {
  json beam = json::array();
  for (const MeasureView& one : light.beam) {
    beam.push_back({{"name", one.name}, {"value", number(one.value)}, {"unit", one.unit}, {"source", one.source}});
  }
  json measured = json::array();
  for (std::size_t i = 0; i < light.distance.measured_mm.size(); ++i) {
    measured.push_back({{"mm", number(light.distance.measured_mm[i])},
                        {"irradiance_mw_cm2", number(light.distance.measured_mw_cm2[i])}});
  }
  return text({{"id", light.id},
               {"name", light.name},
               {"tip_diameter_mm", number(light.tip_diameter_mm)},
               {"power_mw", uncertain(light.power_mw)},
               {"exitance_mw_cm2", uncertain(light.exitance_mw_cm2)},
               {"shares",
                {{"below_385", number(light.share_below_385_nm)},
                 {"from_385_to_515", number(light.share_385_to_515_nm)},
                 {"above_515", number(light.share_above_515_nm)}}},
               {"map",
                {{"columns", light.map.columns},
                 {"rows", light.map.rows},
                 {"mm_per_pixel", number(light.map.mm_per_pixel)},
                 {"left_mm", number(light.map.left_mm)},
                 {"top_mm", number(light.map.top_mm)},
                 {"irradiance_mw_cm2", numbers(light.map.irradiance_mw_cm2)}}},
               {"beam", std::move(beam)},
               {"spectrum",
                {{"wavelength_nm", numbers(light.spectrum.wavelength_nm)},
                 {"power_mw_per_nm", numbers(light.spectrum.power_mw_per_nm)}}},
               {"distance",
                {{"aperture_mm", number(light.distance.aperture_mm)},
                 {"mm", numbers(light.distance.mm)},
                 {"irradiance_mw_cm2", numbers(light.distance.irradiance_mw_cm2)},
                 {"measured", std::move(measured)}}}});
}

}  // namespace throughcure::service
