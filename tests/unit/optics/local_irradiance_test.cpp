// Weak parts and spots against closed forms: inside a radius r a Gaussian E0 exp(-2 q^2 / w^2) of the whole power
// pi w^2 E0 / 2 holds the share 1 - exp(-2 r^2 / w^2) (arithmetic, kind: derived).
#include "throughcure/optics/local_irradiance.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "support/analytic_beam.hpp"

namespace throughcure::optics {
namespace {

TEST(WeakPart, OfAGaussianIsTheRingOutsideOneCircle) {
  BeamImage image = test::gaussian({.x_mm = 0, .y_mm = 0, .a_mm = 3, .b_mm = 3}, 800, 0.0125);
  for (double& v : image.value) v *= 1000;
  constexpr double tip_radius = 4;
  const WeakPart weak = weak_part(image, 2 * tip_radius, 400);
  const double circle2 = std::log(1000.0 / 400) * 9 / 2;  // where it falls to 400
  const auto outside = [](double r2) { return std::exp(-2 * r2 / 9); };
  const double rim = tip_radius * tip_radius;
  EXPECT_EQ(weak.below_mw_cm2, 400);
  // A circle on a lattice of pixels errs by some 0.3 sqrt(its rim in pixels), 14 of the 100000 and more here.
  EXPECT_NEAR(weak.area_mm2, std::numbers::pi * (rim - circle2), 0.02);
  EXPECT_NEAR(weak.share_of_area, 1 - circle2 / rim, 5e-4);
  EXPECT_NEAR(weak.share_of_power, (outside(circle2) - outside(rim)) / (1 - outside(rim)), 5e-4);
}

TEST(WeakPart, TheLimitItselfIsNotBelowAndNoiseIsNoPower) {
  BeamImage image = blank_image(4, 1, 1);
  image.value = {400, 399, 800, -1};
  const WeakPart weak = weak_part(image, 100, 400);
  EXPECT_DOUBLE_EQ(weak.area_mm2, 2);
  EXPECT_DOUBLE_EQ(weak.share_of_area, 0.5);
  EXPECT_DOUBLE_EQ(weak.share_of_power, 399.0 / 1599);
}

TEST(Spots, OfAGaussianAreItsMiddleAndItsRim) {
  const test::Axes axes{.x_mm = 0.5, .y_mm = 0.25, .a_mm = 3, .b_mm = 3};
  const BeamImage image = test::gaussian(axes, 801, 0.0125);
  const Spots found = spots(image, 8, 1);
  EXPECT_EQ(found.aperture_mm, 1);
  EXPECT_NEAR(found.hottest.x_mm, 0.5, 0.013);
  EXPECT_NEAR(found.hottest.y_mm, -0.25, 0.013);  // down in the picture is down on the face
  const double x = 2 * 0.25 / 9;
  EXPECT_NEAR(found.hottest.irradiance_mw_cm2, -std::expm1(-x) / x, 1e-4);
  // The coldest lies where an aperture can just lie on the tip, on the side away from the beam's middle.
  EXPECT_NEAR(std::hypot(found.coldest.x_mm, found.coldest.y_mm), 3.5, 0.02);
  EXPECT_NEAR(std::atan2(found.coldest.y_mm, found.coldest.x_mm), std::numbers::pi - std::atan2(0.25, 0.5), 0.02);
}

TEST(Spots, ATipSmallerThanTheApertureHasItInItsMiddle) {
  BeamImage image = blank_image(5, 5, 0.1);
  std::fill(image.value.begin(), image.value.end(), 7.0);
  const Spots found = spots(image, 0.4, 1);
  EXPECT_DOUBLE_EQ(found.hottest.irradiance_mw_cm2, 7);
  EXPECT_DOUBLE_EQ(found.coldest.irradiance_mw_cm2, 7);
  EXPECT_EQ(found.hottest.x_mm, 0);
  EXPECT_EQ(found.coldest.y_mm, 0);
}

TEST(Spots, OnAnEvenTipBothLieOnTheAxis) {
  BeamImage image = blank_image(81, 81, 0.1);
  for (std::size_t k = 0; k < image.value.size(); ++k) image.value[k] = 1000 * (1 + 1e-13 * static_cast<double>(k % 7));
  const Spots found = spots(image, 6, 1);
  for (const Spot& spot : {found.hottest, found.coldest}) {
    EXPECT_EQ(spot.x_mm, 0);
    EXPECT_EQ(spot.y_mm, 0);
  }
}

TEST(Spots, AnApertureFinerThanAPixelIsThatPixel) {
  BeamImage image = blank_image(3, 3, 1);
  image.value = {0, 1, 0, 2, 9, 3, 0, 4, 0};
  EXPECT_DOUBLE_EQ(spots(image, 3, 0.2).hottest.irradiance_mw_cm2, 9);
}

/// The same picture a quarter turn further, counter-clockwise for one who looks at it.
BeamImage turned(const BeamImage& image) {
  BeamImage out = image;
  for (std::size_t row = 0; row < image.height; ++row) {
    for (std::size_t column = 0; column < image.width; ++column) {
      out.value[(image.width - 1 - column) * image.width + row] = image.at(column, row);
    }
  }
  return out;
}

RC_GTEST_PROP(Spots, TurnWithThePictureAndKeepTheirIrradiance, ()) {
  const auto drawn = [](int from, int to) { return 0.1 * *rc::gen::inRange(from, to + 1); };
  const BeamImage image = test::gaussian(
      {.x_mm = drawn(-15, 15), .y_mm = drawn(-15, 15), .a_mm = drawn(10, 40), .b_mm = drawn(10, 40), .tilt_rad = 0.3},
      81, 0.1);
  const Spots before = spots(image, 6, 1);
  const Spots after = spots(turned(image), 6, 1);
  RC_ASSERT(std::abs(after.hottest.irradiance_mw_cm2 - before.hottest.irradiance_mw_cm2) < 1e-12);
  RC_ASSERT(std::abs(after.coldest.irradiance_mw_cm2 - before.coldest.irradiance_mw_cm2) < 1e-12);
  RC_ASSERT(before.hottest.irradiance_mw_cm2 >= before.coldest.irradiance_mw_cm2);
  // A quarter turn counter-clockwise carries (x, y) to (-y, x), with y upwards.
  RC_ASSERT(std::abs(after.hottest.x_mm + before.hottest.y_mm) < 0.11);
  RC_ASSERT(std::abs(after.hottest.y_mm - before.hottest.x_mm) < 0.11);
}

}  // namespace
}  // namespace throughcure::optics
