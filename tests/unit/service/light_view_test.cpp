#include "throughcure/service/light_view.hpp"

#include <limits>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace throughcure::service {
namespace {

using nlohmann::json;

TEST(LightView, IsTheDocumentThatThePageReads) {
  LightView light;
  light.id = "a";
  light.name = "M\xC3\xBCller";
  light.tip_diameter_mm = 8;
  light.power_mw = {502.6548245, std::nullopt, std::nullopt};
  light.exitance_mw_cm2 = {1000, 900, 1100};
  light.share_385_to_515_nm = 1;
  light.map = {2, 1, 0.5, -0.25, 0, {900, 1400}};
  light.beam = {{"Beam diameter", 7.3, "mm", "ISO 11146-1"}};
  light.spectrum = {{450, 460}, {1, 2}};
  light.distance = {4, {0, 8}, {1000, 410}, {8}, {402}};
  const json read = json::parse(to_json(light));
  EXPECT_EQ(read["name"], "M\xC3\xBCller");
  EXPECT_EQ(read["power_mw"], json({{"value", 502.655}}));
  EXPECT_EQ(read["exitance_mw_cm2"], json({{"value", 1000}, {"low", 900}, {"high", 1100}}));
  EXPECT_EQ(read["shares"]["from_385_to_515"], 1);
  EXPECT_EQ(read["map"]["irradiance_mw_cm2"], json({900, 1400}));
  EXPECT_EQ(read["map"]["left_mm"], -0.25);
  EXPECT_EQ(read["beam"][0]["source"], "ISO 11146-1");
  EXPECT_EQ(read["distance"]["measured"], json::parse(R"([{"mm": 8, "irradiance_mw_cm2": 402}])"));
}

TEST(LightView, ARowSaysOnlyWhatIsKnown) {
  const json read =
      json::parse(to_json(std::vector<LightRow>{{"b", "b", std::nullopt, std::nullopt, {"b.toml: bad."}}}));
  EXPECT_EQ(read, json::parse(R"({"lights": [{"id": "b", "name": "b", "problems": ["b.toml: bad."]}]})"));
}

TEST(LightView, WhatIsNoNumberIsNull) {
  LightView light;
  light.tip_diameter_mm = std::numeric_limits<double>::quiet_NaN();
  light.name = "broken \xFF text";
  const json read = json::parse(to_json(light));
  EXPECT_TRUE(read["tip_diameter_mm"].is_null());
}

}  // namespace
}  // namespace throughcure::service
