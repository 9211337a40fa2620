// The page gets the list that cairo paints.
#include "throughcure/draw/picture_json.hpp"

#include <numbers>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "throughcure/base/problem.hpp"

namespace throughcure::draw {
namespace {

using Json = nlohmann::json;

Json sent(Mark mark) {
  return Json::parse(
             to_json({.width_mm = 100, .height_mm = 50.004, .marks = {std::move(mark)}, .description = "A tooth."}))
      .at("marks")
      .at(0);
}

TEST(PictureJson, OfTheSheet) {
  const Json all =
      Json::parse(to_json({.width_mm = 100, .height_mm = 50.004, .marks = {}, .description = "A \"tooth\"."}));
  EXPECT_EQ(all, Json::parse(R"({"width": 100, "height": 50, "paper": "#fbfaf6", "description": "A \"tooth\".",
                                 "marks": []})"));
}

TEST(PictureJson, OfStrokes) {
  EXPECT_EQ(sent(Stroke{.line = {{1.234, -0.001}, {3, 4}},
                        .closed = true,
                        .width_mm = 0.25,
                        .colour = {1, 2, 255, 128},
                        .dashes_mm = {1, 0.5}}),
            Json::parse(R"({"kind": "stroke", "line": [1.23, 0, 3, 4], "closed": true, "width": 0.25,
                            "colour": "#0102ff80", "dashes": [1, 0.5]})"));
  const Json plain = sent(Stroke{.line = {{1, 2}}, .colour = kInk});
  EXPECT_FALSE(plain.contains("closed"));
  EXPECT_FALSE(plain.contains("dashes"));
  EXPECT_EQ(plain.at("colour"), "#1d1f24");
}

TEST(PictureJson, OfPolygonsAndTexts) {
  EXPECT_EQ(sent(Polygon{.rings = {{{0, 0}, {1, 0}, {1, 1}}, {}}, .colour = kWhite}),
            Json::parse(R"({"kind": "polygon", "rings": [[0, 0, 1, 0, 1, 1], []], "colour": "#ffffff"})"));
  EXPECT_EQ(sent(Text{.at = {5, 6},
                      .words = "2 mm²",
                      .size_mm = 3.3,
                      .colour = kInk,
                      .align = Align::kEnd,
                      .turn_rad = -std::numbers::pi / 2,
                      .halo = kPaper}),
            Json::parse(R"({"kind": "text", "x": 5, "y": 6, "words": "2 mm²", "size": 3.3, "colour": "#1d1f24",
                            "align": "end", "turn": -90, "halo": "#fbfaf6"})"));
}

TEST(PictureJson, OfShadings) {
  EXPECT_EQ(sent(Shading{.clip = {{{0, 0}, {1, 0}, {1, 1}}},
                         .areas = {{.rings = {{{2, 0}, {3, 0}, {3, 1}}}, .colour = kWhite}}}),
            Json::parse(R"({"kind": "shading", "clip": [[0, 0, 1, 0, 1, 1]],
                            "areas": [{"rings": [[2, 0, 3, 0, 3, 1]], "colour": "#ffffff"}]})"));
}

TEST(PictureJson, OfRastersIsAPng) {
  const Json raster = sent(Raster{.top_left = {1, 2},
                                  .width_mm = 4,
                                  .height_mm = 2,
                                  .columns = 2,
                                  .rows = 1,
                                  .colour = {kInk, kWhite},
                                  .clip = {{1, 2}, {5, 2}, {5, 4}}});
  EXPECT_EQ(raster.at("kind"), "raster");
  EXPECT_EQ(raster.at("clip"), Json::parse("[1, 2, 5, 2, 5, 4]"));
  // A PNG file begins with the bytes 89 50 4e 47 0d 0a 1a 0a (W3C, PNG, standard), in base64 iVBORw0KGgo.
  EXPECT_TRUE(raster.at("png").get<std::string>().starts_with("data:image/png;base64,iVBORw0KGgo"));
  EXPECT_THROW(sent(Raster{.top_left = {}, .columns = 2, .rows = 1, .colour = {kInk}}), base::Failure);
}

}  // namespace
}  // namespace throughcure::draw
