#include "throughcure/draw/picture_json.hpp"

#include <cmath>
#include <cstddef>
#include <numbers>
#include <string>
#include <variant>

#include <nlohmann/json.hpp>

#include "throughcure/base/base64.hpp"
#include "throughcure/draw/raster_png.hpp"

namespace throughcure::draw {

namespace {

using Json = nlohmann::ordered_json;

double rounded(double mm) { return std::round(mm * 100) / 100 + 0.0; }  // + 0.0: no negative nought

Json flat(const Line& line) {
  Json out = Json::array();
  for (const Place& p : line) {
    out.push_back(rounded(p.x_mm));
    out.push_back(rounded(p.y_mm));
  }
  return out;
}

std::string hex(const Colour& colour) {
  static constexpr std::string_view kDigits = "0123456789abcdef";
  std::string out = "#";
  const auto add = [&](std::uint8_t byte) {
    out += kDigits[byte >> 4U];
    out += kDigits[byte & 15U];
  };
  add(colour.red);
  add(colour.green);
  add(colour.blue);
  if (colour.alpha != 255) add(colour.alpha);
  return out;
}

Json json_of(const Stroke& stroke) {
  Json out{{"kind", "stroke"},
           {"line", flat(stroke.line)},
           {"width", rounded(stroke.width_mm)},
           {"colour", hex(stroke.colour)}};
  if (stroke.closed) out["closed"] = true;
  if (!stroke.dashes_mm.empty()) {
    Json dashes = Json::array();
    for (const double dash : stroke.dashes_mm) dashes.push_back(rounded(dash));
    out["dashes"] = std::move(dashes);
  }
  return out;
}

Json rings_of(const std::vector<Line>& rings) {
  Json out = Json::array();
  for (const Line& ring : rings) out.push_back(flat(ring));
  return out;
}

Json json_of(const Polygon& polygon) {
  return {{"kind", "polygon"}, {"rings", rings_of(polygon.rings)}, {"colour", hex(polygon.colour)}};
}

Json json_of(const Shading& shading) {
  Json areas = Json::array();
  for (const Polygon& area : shading.areas) {
    areas.push_back({{"rings", rings_of(area.rings)}, {"colour", hex(area.colour)}});
  }
  return {{"kind", "shading"}, {"clip", rings_of(shading.clip)}, {"areas", std::move(areas)}};
}

Json json_of(const Raster& raster) {
  Json out{{"kind", "raster"},
           {"x", rounded(raster.top_left.x_mm)},
           {"y", rounded(raster.top_left.y_mm)},
           {"width", rounded(raster.width_mm)},
           {"height", rounded(raster.height_mm)},
           {"png", "data:image/png;base64," + base::base64(raster_png(raster))}};
  if (!raster.clip.empty()) out["clip"] = flat(raster.clip);
  return out;
}

Json json_of(const Text& text) {
  const char* align = text.align == Align::kStart ? "start" : text.align == Align::kMiddle ? "middle" : "end";
  Json out{{"kind", "text"},      {"x", rounded(text.at.x_mm)},    {"y", rounded(text.at.y_mm)},
           {"words", text.words}, {"size", rounded(text.size_mm)}, {"colour", hex(text.colour)},
           {"align", align}};
  if (text.turn_rad != 0) out["turn"] = rounded(text.turn_rad * 180 / std::numbers::pi);
  if (text.halo.alpha > 0) out["halo"] = hex(text.halo);
  return out;
}

}  // namespace

std::string to_json(const Picture& picture) {
  Json marks = Json::array();
  for (const Mark& mark : picture.marks) {
    marks.push_back(std::visit([](const auto& what) { return json_of(what); }, mark));
  }
  const Json out{{"width", rounded(picture.width_mm)},
                 {"height", rounded(picture.height_mm)},
                 {"paper", hex(picture.paper)},
                 {"description", picture.description},
                 {"marks", std::move(marks)}};
  return out.dump();
}

}  // namespace throughcure::draw
