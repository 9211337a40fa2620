// What must hold whatever the light, the draw or the order.
#include <algorithm>
#include <cmath>

#include <gtest/gtest.h>

#include "support/demo_case.hpp"
#include "throughcure/plan/fluence.hpp"
#include "throughcure/plan/judge.hpp"
#include "whole/demo_ground.hpp"

namespace throughcure::tests {
namespace {

plan::Cured cured(const plan::Ground& ground, const std::vector<plan::Exposure>& schedule) {
  return plan::cure_places(ground, demo_rays(), schedule, plan::fluence_of(ground, demo_rays(), schedule, {}, {}));
}

TEST(Identities, WithoutPowerNothingCures) {
  const plan::Ground dark = plan::with_light(demo_ground(), {.value = 0}, {.value = 1});
  const plan::Verdict verdict = judged(dark, poor_schedule());
  for (const plan::CellVerdict& cell : verdict.cells) {
    EXPECT_EQ(cell.conversion.p90, 0) << cell.target.name;
    EXPECT_EQ(cell.light_j_cm2, 0) << cell.target.name;
  }
  EXPECT_EQ(verdict.probability, 0);
  EXPECT_EQ(verdict.word, plan::Word::kUnderCured);
}

TEST(Identities, WhatIsNotThereYetIsNotCured) {
  const plan::Ground& ground = demo_ground();
  std::vector<plan::Exposure> schedule{{.state = 0, .pose = over_floor(), .mode = 0, .seconds = 10}};
  for (const double x : cured(ground, schedule).conversion) EXPECT_EQ(x, 0) << "only the bare adhesive was lit";
  schedule.push_back({.state = 1, .pose = over_floor(), .mode = 0, .seconds = 20});
  const plan::Verdict first = judged(ground, schedule);
  for (const plan::CellVerdict& cell : first.cells) {
    if (cell.target.increment == 0) {
      EXPECT_GT(cell.conversion.p10, 0.1) << cell.target.name;
    } else {
      EXPECT_EQ(cell.conversion.p90, 0) << cell.target.name;
    }
  }
}

TEST(Identities, APressInTwoHalvesWithoutAPauseIsOnePress) {
  const std::vector<plan::Exposure> whole = poor_schedule();
  std::vector<plan::Exposure> halves;
  for (plan::Exposure exposure : whole) {
    exposure.seconds /= 2;
    halves.push_back(exposure);
    halves.push_back(exposure);
  }
  const std::vector<double> one = cured(demo_ground(), whole).conversion;
  const std::vector<double> two = cured(demo_ground(), halves).conversion;
  ASSERT_EQ(one.size(), two.size());
  for (std::size_t i = 0; i < one.size(); ++i) EXPECT_NEAR(one[i], two[i], 1e-9);
  const plan::Verdict a = judged(demo_ground(), whole);
  const plan::Verdict b = judged(demo_ground(), halves);
  EXPECT_EQ(a.probability, b.probability);
  for (std::size_t i = 0; i < a.cells.size(); ++i) {
    EXPECT_NEAR(a.cells[i].light_j_cm2, b.cells[i].light_j_cm2, 1e-9 * a.cells[i].light_j_cm2);
    EXPECT_NEAR(a.cells[i].relative_se, b.cells[i].relative_se, 1e-9) << "both halves come from the same paths";
  }
}

TEST(Identities, TwiceThePowerInHalfTheTimeIsTheSameOnlyWhereReciprocityHolds) {
  plan::Ground ground = demo_ground();
  for (std::size_t d = 0; d < ground.draws.size(); d += 2) ground.draws[d].materials[0].law.p = 1;
  const plan::Ground strong = plan::with_light(ground, {.value = 2}, {.value = 1});
  std::vector<plan::Exposure> schedule = poor_schedule();
  const plan::Cured slow = cured(ground, schedule);
  for (plan::Exposure& exposure : schedule) exposure.seconds /= 2;
  const plan::Cured fast = cured(strong, schedule);
  std::size_t less = 0;
  for (std::size_t i = 0; i < slow.conversion.size(); ++i) {
    const double p = ground.draws[i / slow.places].materials[0].law.p;
    if (p == 1) {
      EXPECT_NEAR(fast.conversion[i], slow.conversion[i], 1e-9);
    } else if (p < 0.95) {
      EXPECT_LT(fast.conversion[i], slow.conversion[i]) << "p is " << p;
      ++less;
    }
  }
  EXPECT_GT(less, slow.conversion.size() / 4);
}

TEST(Identities, TheOrderOfPlacesDoesNotMatter) {
  plan::Ground ground = demo_ground();
  plan::Rays rays = demo_rays();
  std::ranges::reverse(ground.targets);
  std::ranges::reverse(rays.places);
  for (auto& state : rays.of) std::ranges::reverse(state);
  const std::vector<plan::Exposure> schedule = each_increment(over_floor(8), 20);
  const plan::Verdict turned = plan::judge(ground, rays, schedule, plan::fluence_of(ground, rays, schedule, {}, {}));
  const plan::Verdict straight = judged(demo_ground(), schedule);
  EXPECT_EQ(turned.probability, straight.probability);
  EXPECT_EQ(turned.probability_se, straight.probability_se);
  EXPECT_EQ(turned.cells[turned.worst].target.name, straight.cells[straight.worst].target.name);
  for (std::size_t i = 0; i < straight.cells.size(); ++i) {
    const plan::CellVerdict& one = straight.cells[i];
    const plan::CellVerdict& other = turned.cells[straight.cells.size() - 1 - i];
    EXPECT_EQ(one.target.name, other.target.name);
    EXPECT_EQ(one.probability, other.probability);
    EXPECT_EQ(one.conversion.p50, other.conversion.p50);
  }
}

TEST(Identities, AllTogetherAreNeverLikelierThanTheLeastLikelyOne) {
  for (const double standoff_mm : {0.0, 4.0, 8.0}) {
    const plan::Verdict verdict = judged(demo_ground(), each_increment(over_floor(standoff_mm), 20));
    double least = 1;
    for (const plan::CellVerdict& cell : verdict.cells) {
      if (cell.decides) least = std::min(least, cell.probability);
    }
    EXPECT_LE(verdict.probability, least) << standoff_mm;
    EXPECT_EQ(verdict.cells[verdict.worst].probability, least) << standoff_mm;
    EXPECT_GT(verdict.probability, 0) << "it says nothing at 0";
  }
}

TEST(Identities, TheTopNeverDecides) {
  const plan::Ground& ground = demo_ground();
  const std::size_t top = target_called(ground, "top, under the surface");
  plan::Rays rays = demo_rays();
  for (auto& state : rays.of) {
    for (auto& run : state[top]) run = nullptr;  // no light there at all
  }
  const std::vector<plan::Exposure> schedule = each_increment(over_floor(8), 20);
  const plan::Verdict without = plan::judge(ground, rays, schedule, plan::fluence_of(ground, rays, schedule, {}, {}));
  const plan::Verdict with = judged(ground, schedule);
  EXPECT_EQ(without.cells[top].probability, 0);
  EXPECT_EQ(with.cells[top].probability, 1);
  EXPECT_EQ(without.probability, with.probability);
  EXPECT_EQ(without.worst, with.worst);
  EXPECT_FALSE(with.cells[top].decides);
}

}  // namespace
}  // namespace throughcure::tests
