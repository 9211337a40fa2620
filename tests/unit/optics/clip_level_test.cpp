// Clip-level quantities against closed forms.
// Source: definitions of ISO 13694 (kind: standard), worked out for E = E0 exp(-2 r^2 / w^2): with L = ln(1 / eta),
// A = pi w_a w_b L / 2, f = 1 - eta, F = (1 - eta) / L, U^2 = (1 - eta^2) L / (2 (1 - eta)^2) - 1.
#include "throughcure/optics/clip_level.hpp"

#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "support/analytic_beam.hpp"

namespace throughcure::optics {
namespace {

TEST(ClipLevel, GaussianRoundOrTiltedEllipse) {
  for (const auto& axes : {test::Axes{.x_mm = 0.013, .y_mm = 0.007, .a_mm = 2, .b_mm = 2},
                           test::Axes{.x_mm = 0.413, .y_mm = 0.007, .a_mm = 2.5, .b_mm = 1.4, .tilt_rad = 0.6}}) {
    // Off the lattice of pixels, so that the rim falls on it at random: the count errs by 0.3 sqrt(rim in pixels), at
    // most 6e-4 of the smallest area here (standard error); 2e-3 is three of them, at fixed places.
    const auto image = test::gaussian(axes, 800, 0.02);
    for (const double eta : {0.1, 0.5, 0.8}) {
      const ClipLevel c = clip_level(image, eta);
      const double log = std::log(1 / eta);
      const double area = std::numbers::pi * axes.a_mm * axes.b_mm * log / 2;
      EXPECT_NEAR(c.largest, 1, 1e-3);
      EXPECT_NEAR(c.area_mm2, area, 2e-3 * area) << eta;
      EXPECT_NEAR(c.fractional_power, 1 - eta, 2e-3) << eta;
      EXPECT_NEAR(c.average, (1 - eta) / log, 1e-3) << eta;
      EXPECT_NEAR(c.flatness, (1 - eta) / log, 1e-3) << eta;
      EXPECT_NEAR(c.uniformity, std::sqrt((1 - eta * eta) * log / (2 * (1 - eta) * (1 - eta)) - 1), 1e-3) << eta;
    }
    EXPECT_NEAR(edge_steepness(image), 1 - std::log(1 / 0.9) / std::log(1 / 0.1), 2e-3);
  }
}

TEST(ClipLevel, FlatTopIsPerfect) {
  const auto image = test::flat_top({.a_mm = 4, .b_mm = 4});
  const ClipLevel c = clip_level(image, 0.5);
  EXPECT_NEAR(c.area_mm2, 16 * std::numbers::pi, 0.003 * 16 * std::numbers::pi);
  EXPECT_DOUBLE_EQ(c.fractional_power, 1);
  EXPECT_DOUBLE_EQ(c.flatness, 1);
  EXPECT_DOUBLE_EQ(c.uniformity, 0);
  EXPECT_DOUBLE_EQ(edge_steepness(image), 0);
}

TEST(ClipLevel, AThresholdIsOnlyPassedFromAbove) {
  BeamImage image = blank_image(4, 1, 0.5);
  image.value = {4, 2, 1, -1};
  const ClipLevel c = clip_level(image, 0.5);  // threshold 2: the pixel of 2 is not above it
  EXPECT_DOUBLE_EQ(c.area_mm2, 0.25);
  EXPECT_DOUBLE_EQ(c.fractional_power, 4.0 / 6);
  const ClipLevel lower = clip_level(image, 0.25);
  EXPECT_DOUBLE_EQ(lower.area_mm2, 0.5);
  EXPECT_DOUBLE_EQ(lower.average, 3);
  EXPECT_DOUBLE_EQ(lower.uniformity, 1.0 / 3);
}

TEST(ClipLevel, NoLightGivesZeros) {
  const ClipLevel c = clip_level(blank_image(5, 5, 0.1), 0.5);
  EXPECT_EQ(c.area_mm2, 0);
  EXPECT_EQ(c.flatness, 0);
  EXPECT_EQ(edge_steepness(blank_image(5, 5, 0.1)), 0);
}

}  // namespace
}  // namespace throughcure::optics
