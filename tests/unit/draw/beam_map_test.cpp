// The map says what the beam is: its circle to scale, its levels, its spots; and the small helpers it stands on.
#include "throughcure/draw/beam_map.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>
#include <string>

#include <gtest/gtest.h>

#include "support/analytic_beam.hpp"
#include "support/picture_marks.hpp"
#include "throughcure/draw/round_levels.hpp"
#include "throughcure/draw/words.hpp"

namespace throughcure::draw {
namespace {

using tests::all;
using tests::words;

optics::BeamImage peaked() {
  auto image = test::gaussian({.a_mm = 4, .b_mm = 4}, 200, 0.05);
  for (double& v : image.value) v *= 1000;
  return image;
}

double mean_radius(const Line& line, Place middle) {
  return std::transform_reduce(line.begin(), line.end(), 0.0, std::plus<>(),
                               [&](const Place& p) { return std::hypot(p.x_mm - middle.x_mm, p.y_mm - middle.y_mm); }) /
         static_cast<double>(line.size());
}

TEST(BeamMap, CirclesAreToTheScaleOfTheTip) {
  const Picture picture = beam_map(
      {.heading = "one", .sentence = "A sentence.", .tip_diameter_mm = 8, .mw_cm2 = peaked(), .below_mw_cm2 = 550});
  const Raster field = all<Raster>(picture).at(0);
  const Place middle{field.top_left.x_mm + field.width_mm / 2, field.top_left.y_mm + field.height_mm / 2};
  const auto strokes = all<Stroke>(picture);
  const double tip = mean_radius(strokes.at(0).line, middle);
  // A Gaussian of w = 4 mm falls to 550 of 1000 where r^2 = w^2 ln(1000 / 550) / 2; the heavy line lies there.
  const auto heavy = std::ranges::max_element(strokes, {}, &Stroke::width_mm);
  EXPECT_NEAR(mean_radius(heavy->line, middle) / tip, std::sqrt(std::log(1 / 0.55) / 2), 2e-3);
  EXPECT_TRUE(heavy->closed);
  EXPECT_TRUE(words(picture).contains("550"));
  EXPECT_TRUE(words(picture).contains("400"));
  EXPECT_TRUE(words(picture).contains("one"));
  EXPECT_EQ(picture.description, "A sentence.");
}

TEST(BeamMap, EverythingLiesOnTheSheet) {
  const Picture picture = beam_map({.heading = "h",
                                    .sentence = "s",
                                    .tip_diameter_mm = 13,
                                    .mw_cm2 = peaked(),
                                    .spots = optics::Spots{1, {0, 0, 990}, {-3, 1, 500}},
                                    .below_mw_cm2 = 400});
  const auto inside = [&](const Place& p) {
    return p.x_mm >= 0 && p.y_mm >= 0 && p.x_mm <= picture.width_mm && p.y_mm <= picture.height_mm;
  };
  for (const Stroke& stroke : all<Stroke>(picture)) EXPECT_TRUE(std::ranges::all_of(stroke.line, inside));
  for (const Text& text : all<Text>(picture)) EXPECT_TRUE(inside(text.at)) << text.words;
  // At this scale the words do not fit into the rings, so each stands beside its own.
  EXPECT_TRUE(words(picture).contains("most 990"));
  EXPECT_TRUE(words(picture).contains("least 500"));
}

TEST(BeamMap, ADarkEdgeHasNoBundleOfLines) {
  // A flat top that ends with the tip: all its levels lie in the edge, and none is drawn.
  auto flat = test::flat_top({.a_mm = 4, .b_mm = 4}, 200, 0.05);
  const Picture picture = beam_map({.heading = "", .sentence = "", .tip_diameter_mm = 8, .mw_cm2 = flat});
  const auto strokes = all<Stroke>(picture);
  EXPECT_TRUE(std::ranges::none_of(strokes, [](const Stroke& s) { return s.line.size() > 2 && s.dashes_mm.empty(); }));
}

TEST(BeamMap, AnEvenTipHasOneNumberAndNoLines) {
  auto even = optics::blank_image(50, 50, 0.2);
  for (std::size_t k = 0; k < even.value.size(); ++k) even.value[k] = 1000 * (1 + 1e-13 * static_cast<double>(k % 7));
  const Picture picture = beam_map({.heading = "", .sentence = "", .tip_diameter_mm = 8, .mw_cm2 = even});
  EXPECT_FALSE(words(picture).contains("1000"));
  EXPECT_TRUE(words(picture).contains("1000 everywhere"));
}

TEST(RoundLevels, AreRoundAndBetween) {
  EXPECT_EQ(round_levels(700, 1320, 6), (std::vector<double>{800, 900, 1000, 1100, 1200, 1300}));
  EXPECT_EQ(round_levels(0, 1000, 4), (std::vector<double>{200, 400, 600, 800}));
  EXPECT_EQ(round_levels(0, 1000, 3), (std::vector<double>{250, 500, 750}));
  EXPECT_TRUE(round_levels(5, 5, 5).empty());
  EXPECT_TRUE(round_levels(9, 5, 5).empty());
  EXPECT_TRUE(round_levels(1000, std::nextafter(1000, 2000), 5).empty()) << "two values that differ by rounding alone";
  for (const double high : {1.1, 1.9, 3.2, 7.0, 24.0, 111.0, 999.0, 4999.0}) {
    const auto levels = round_levels(1, high, 5);
    EXPECT_LE(levels.size(), 5U) << high;
    EXPECT_GE(levels.size(), 2U) << high;
  }
}

TEST(Words, BreakAtSpacesAndKeepUnitsWithTheirNumbers) {
  EXPECT_EQ(broken("gives 1000 mW/cm² over it", 12), (std::vector<std::string>{"gives", "1000 mW/cm²", "over it"}));
  EXPECT_EQ(broken("ääää ää", 7), (std::vector<std::string>{"ääää ää"}));
  EXPECT_EQ(broken("incomprehensibilities of it", 5), (std::vector<std::string>{"incomprehensibilities", "of it"}));
  EXPECT_TRUE(broken("  ", 5).empty());
}

}  // namespace
}  // namespace throughcure::draw
