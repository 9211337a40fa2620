// Noise must not make a profile rise with depth.
#include "throughcure/cure/falling_profile.hpp"

#include <cmath>

#include <gtest/gtest.h>

namespace throughcure::cure {
namespace {

TEST(FallingProfile, LevelsWhatRisesBelowTheBrightestPlaceAndLeavesTheRest) {
  const MouldProfile smooth = falling({{0.5, 1, 2, 3, 4}, {1, 3, 0.5, 2, 0.1}});
  ASSERT_EQ(smooth.depth_mm.size(), 4U);
  EXPECT_DOUBLE_EQ(smooth.phi_per_exitance[0], 1) << "above the brightest place it may rise";
  EXPECT_DOUBLE_EQ(smooth.phi_per_exitance[1], 3);
  EXPECT_DOUBLE_EQ(smooth.depth_mm[2], 2.5);
  EXPECT_NEAR(smooth.phi_per_exitance[2], std::sqrt(0.5 * 2), 1e-12);
  EXPECT_DOUBLE_EQ(smooth.phi_per_exitance[3], 0.1);
}

}  // namespace
}  // namespace throughcure::cure
