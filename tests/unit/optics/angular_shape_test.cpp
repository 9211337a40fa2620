// Radiance against angle: its power, its half-angle, its tail.
#include "throughcure/optics/angular_shape.hpp"

#include <gtest/gtest.h>

namespace throughcure::optics {
namespace {

/// The integral of L cos(theta) over the half sphere, by the midpoint rule in the cosine.
double power_by_sum(const AngularShape& shape) {
  constexpr int steps = 100'000;
  double sum = 0;
  for (int i = 0; i < steps; ++i) {
    const double c = (i + 0.5) / steps;
    sum += radiance_per_exitance(shape, c) * c;
  }
  return sum * 2 * std::numbers::pi / steps;
}

TEST(AngularShape, CarriesTheWholePower) {
  for (const AngularShape& shape : {AngularShape{0, 0, 0}, AngularShape{12, 1, 0.3}, AngularShape{40.5, 0, 0.9}}) {
    EXPECT_NEAR(power_by_sum(shape), 1, 1e-6);
    EXPECT_NEAR(share_inside(shape, 90), 1, 1e-12);
  }
}

TEST(AngularShape, LambertianRadianceIsExitanceByPi) {
  EXPECT_DOUBLE_EQ(radiance_per_exitance({}, 1), 1 / std::numbers::pi);
  EXPECT_DOUBLE_EQ(radiance_per_exitance({}, 0.01), 1 / std::numbers::pi);
  EXPECT_EQ(radiance_per_exitance({}, -0.5), 0);
  EXPECT_NEAR(share_inside({}, 30), 0.25, 1e-12);
}

TEST(AngularShape, OfAHalfAngleFallsToHalfThere) {
  for (const double angle : {5.0, 20.0, 45.0, 80.0}) {
    for (const double tail : {0.0, 0.1, 0.5}) {
      const auto shape = shape_of_half_angle(angle, tail);
      EXPECT_NEAR(half_angle_deg(shape), angle, 1e-6) << tail;
      EXPECT_EQ(shape.tail_share, tail);
    }
  }
  // cos^2 falls to half at 45 degrees.
  EXPECT_NEAR(shape_of_half_angle(45, 0).core_exponent, 2, 1e-9);
}

TEST(AngularShape, ATailLeavesLightOutsideTheCore) {
  const auto tailed = shape_of_half_angle(20, 0.2);
  const auto bare = shape_of_half_angle(20, 0);
  EXPECT_GT(1 - share_inside(tailed, 60), 5 * (1 - share_inside(bare, 60)));
}

}  // namespace
}  // namespace throughcure::optics
