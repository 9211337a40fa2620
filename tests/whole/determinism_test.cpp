// The same seed gives the same verdict whatever the threads; another seed gives one that agrees within its errors.
#include <cmath>

#include <gtest/gtest.h>

#include "support/demo_case.hpp"
#include "throughcure/exchange/knowledge.hpp"
#include "throughcure/plan/solve.hpp"
#include "whole/demo_ground.hpp"

namespace throughcure::tests {
namespace {

constexpr std::size_t kFewDraws = 64;

/// All of the chain from the case on, a hand's spread included: from 8 mm, where about half of the draws cure through.
plan::Verdict solved(std::uint64_t seed, unsigned threads) {
  const base::Running running{.threads = threads};
  plan::Case c = demo_case(demo_folder());
  c.hand = {.standoff_sd_mm = {.value = 0.5}, .tilt_sd_deg = {.value = 3}, .wander_sd_mm = {.value = 0.3}};
  const plan::Ground ground = plan::prepare(c, exchange::knowledge(), {.draws = kFewDraws, .seed = seed}, running);
  const plan::SolveEffort effort{.precision = 0.1, .first_paths = 6400, .most_paths = 6400, .seed = seed};
  return plan::solve(ground, each_increment(over_floor(8), 20), effort, running).verdict;
}

TEST(Determinism, ThreadsDoNotMatterAndAnotherSeedAgrees) {
  const plan::Verdict one = solved(1, 1);
  const plan::Verdict two = solved(1, 2);
  const plan::Verdict other = solved(2, 2);
  EXPECT_EQ(one.probability, two.probability);
  EXPECT_EQ(one.probability_se, two.probability_se);
  EXPECT_EQ(one.worst, two.worst);
  ASSERT_EQ(one.cells.size(), two.cells.size());
  ASSERT_EQ(one.cells.size(), other.cells.size());
  // 4 combined standard errors of some hundred hits a cell (of fewer they are not near normal): false alarm 1.7e-4 a
  // look, 14 looks, 2.4e-3 in all.
  constexpr double kErrors = 4;
  EXPECT_NEAR(one.probability, other.probability, kErrors * std::hypot(one.probability_se, other.probability_se));
  for (std::size_t i = 0; i < one.cells.size(); ++i) {
    const plan::CellVerdict& a = one.cells[i];
    const plan::CellVerdict& b = two.cells[i];
    const plan::CellVerdict& c = other.cells[i];
    EXPECT_EQ(a.light_j_cm2, b.light_j_cm2) << a.target.name;
    EXPECT_EQ(a.relative_se, b.relative_se) << a.target.name;
    EXPECT_EQ(a.probability, b.probability) << a.target.name;
    EXPECT_EQ(a.conversion.p10, b.conversion.p10) << a.target.name;
    EXPECT_EQ(a.conversion.p50, b.conversion.p50) << a.target.name;
    EXPECT_EQ(a.hardness_ratio.p90, b.hardness_ratio.p90) << a.target.name;
    EXPECT_NEAR(a.light_j_cm2, c.light_j_cm2,
                kErrors * std::hypot(a.relative_se * a.light_j_cm2, c.relative_se * c.light_j_cm2))
        << a.target.name;
    EXPECT_NE(a.light_j_cm2, c.light_j_cm2) << "another seed walks other paths";
  }
}

}  // namespace
}  // namespace throughcure::tests
