// An unsteady hand: it lowers the chance and touches nothing that is held as planned.
#include <gtest/gtest.h>

#include "support/demo_case.hpp"
#include "whole/demo_ground.hpp"

namespace throughcure::tests {
namespace {

plan::Verdict by_hand(double times) {
  plan::Ground ground = demo_ground();
  ground.c.hand = {.standoff_sd_mm = {.value = 1 * times},
                   .tilt_sd_deg = {.value = 5 * times},
                   .wander_sd_mm = {.value = 0.5 * times}};
  return judged(ground, each_increment(over_floor(2), 20));
}

TEST(Hand, ALargerSpreadLowersTheChanceAndNothingElse) {
  const plan::Verdict steady = by_hand(0);
  const plan::Verdict usual = by_hand(1);
  const plan::Verdict shaky = by_hand(3);
  EXPECT_GE(steady.probability, usual.probability);
  EXPECT_GT(usual.probability, shaky.probability);
  for (std::size_t i = 0; i < steady.cells.size(); ++i) {
    for (const plan::Verdict* other : {&usual, &shaky}) {
      EXPECT_EQ(other->cells[i].light_j_cm2, steady.cells[i].light_j_cm2) << "light is that of the planned pose";
      EXPECT_EQ(other->cells[i].relative_se, steady.cells[i].relative_se);
    }
    EXPECT_GE(steady.cells[i].probability, shaky.cells[i].probability) << steady.cells[i].target.name;
  }
}

}  // namespace
}  // namespace throughcure::tests
