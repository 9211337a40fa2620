// The mould of the depth-of-cure test.
#include "throughcure/anatomy/mould.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace throughcure::anatomy {
namespace {

TEST(Mould, HoldsResinInSteelOnItsFloorUnderAnOpenFace) {
  const Scene scene = iso4049_mould({.height_mm = 8, .floor = MouldFloor::kWhitePaper});
  EXPECT_THAT(scene.medium_names, ::testing::ElementsAre("air", "resin", "mould", "white paper"));
  const auto at = [&](double x, double z) { return scene.medium_names[scene.medium_at({x, 0, z})]; };
  EXPECT_EQ(at(0, -0.01), "air");
  EXPECT_EQ(at(0, 0.01), "resin");
  EXPECT_EQ(at(1.99, 7.99), "resin");
  EXPECT_EQ(at(2.01, 4), "mould");
  EXPECT_EQ(at(9.99, 4), "mould");
  EXPECT_EQ(at(10.01, 4), "air");
  EXPECT_EQ(at(0, 8.5), "white paper");
}

TEST(Mould, StandsOnNothingWhenItsFloorIsOpen) {
  const Scene scene = iso4049_mould({.height_mm = 4, .floor = MouldFloor::kOpen});
  EXPECT_THAT(scene.medium_names, ::testing::ElementsAre("air", "resin", "mould"));
  EXPECT_EQ(scene.medium_at({0, 0, 4.01}), scene.background);
}

}  // namespace
}  // namespace throughcure::anatomy
