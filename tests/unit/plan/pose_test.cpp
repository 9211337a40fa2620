#include "throughcure/plan/pose.hpp"

#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "support/demo_site.hpp"
#include "throughcure/anatomy/states.hpp"
#include "throughcure/plan/aim.hpp"

namespace throughcure::plan {
namespace {

optics::TipSource tip_8mm() {
  return optics::tip_source(optics::tip_map(optics::UniformDisc{}, 8), optics::shape_of_half_angle(20, 0.2));
}

anatomy::Scene demo_scene() {
  const anatomy::Site site = tests::demo_site();
  return anatomy::build_scene(site, anatomy::scene_states(site)[1]);
}

Pose over_floor() { return {.aim = *aim_called(tests::demo_site(), "distal box floor")}; }

TEST(Pose, UprightInContactStandsOnTheCusps) {
  const transport::PosedTip tip = posed_tip(demo_scene(), tip_8mm(), held(over_floor()));
  EXPECT_NEAR(tip.centre.z, 0, 0.1);  // cusp tips are at z = 0; one may stand between two points of the face
  EXPECT_DOUBLE_EQ(tip.axis.z, 1);
}

TEST(Pose, StandoffIsTheGapAndTheDistanceToTheFloorAnotherQuantity) {
  Pose pose = over_floor();
  const double contact = posed_tip(demo_scene(), tip_8mm(), held(pose)).centre.z;
  pose.standoff_mm = 6;
  const transport::PosedTip tip = posed_tip(demo_scene(), tip_8mm(), held(pose));
  EXPECT_NEAR(tip.centre.z, contact - 6, 1e-9);
  EXPECT_NEAR(distance_to_aim_mm(tip, held(pose)), 12, 0.1);
}

TEST(Pose, ATiltedTipMovesToTheSideItIsTiltedToAndTurnsAboutTheAim) {
  Pose pose = over_floor();
  pose.tilt_deg = 20;
  pose.tilt_to = anatomy::ToothSide::kDistal;
  const Held h = held(pose);
  const transport::PosedTip tip = posed_tip(demo_scene(), tip_8mm(), h);
  EXPECT_GT(tip.centre.x, pose.aim.x);
  EXPECT_NEAR(std::acos(h.axis.z) * 180 / std::numbers::pi, 20, 1e-9);
  const base::Vec off = pose.aim - tip.centre;
  EXPECT_NEAR(length(off - h.axis * dot(off, h.axis)), 0, 1e-9);
}

TEST(Pose, ALateralTipStandsBesideTheCrown) {
  const Pose pose{.aim = *aim_called(tests::demo_site(), "distal box"), .from = anatomy::ToothSide::kBuccal};
  const transport::PosedTip tip = posed_tip(demo_scene(), tip_8mm(), held(pose));
  EXPECT_DOUBLE_EQ(tip.axis.y, 1);
  EXPECT_LT(tip.centre.y, -3);
  EXPECT_GT(tip.centre.y, -8);
}

TEST(Pose, AHandIsEvenAboutThePlanAndNeverPushesIntoTheTooth) {
  const Hand hand{.standoff_sd_mm = {.value = 1}, .tilt_sd_deg = {.value = 5}, .wander_sd_mm = {.value = 0.5}};
  const std::size_t count = 256;
  double sum = 0;
  double squares = 0;
  for (const HandError& error : hand_errors(hand, count, 3)) {
    sum += error.standoff_mm;
    squares += error.standoff_mm * error.standoff_mm;
    EXPECT_GE(moved(held(over_floor()), error).standoff_mm, 0);
  }
  EXPECT_NEAR(sum / count, 0, 0.05);
  EXPECT_NEAR(std::sqrt(squares / count), 1, 0.06);  // cut at 3 sd
  EXPECT_EQ(hand_errors(Hand{}, count, 0).size(), 1U);
}

}  // namespace
}  // namespace throughcure::plan
