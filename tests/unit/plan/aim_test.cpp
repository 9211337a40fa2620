#include "throughcure/plan/aim.hpp"

#include <gtest/gtest.h>

#include "support/demo_site.hpp"
#include "throughcure/anatomy/states.hpp"

namespace throughcure::plan {
namespace {

TEST(Aim, ABoxHasItsMiddleAndItsFloorAndAnOcclusalPartItsFloor) {
  const anatomy::Site site = tests::demo_site();
  const auto floor = aim_called(site, "distal box floor");
  const auto middle = aim_called(site, "distal box");
  ASSERT_TRUE(floor && middle && aim_called(site, "occlusal"));
  EXPECT_DOUBLE_EQ(floor->z, 6);
  EXPECT_LT(middle->z, floor->z);
  EXPECT_FALSE(aim_called(site, "mesial box"));
  EXPECT_FALSE(aim_called(site, "front"));
  // Both lie over resin when all is placed.
  const anatomy::Scene scene = anatomy::build_scene(site, anatomy::scene_states(site).back());
  EXPECT_TRUE(anatomy::increment_of(site, scene.medium_at(*middle)));
  EXPECT_TRUE(anatomy::increment_of(site, scene.medium_at(*floor - base::Vec{0, 0, 0.2})));
}

}  // namespace
}  // namespace throughcure::plan
