// Paths are spent until the light of each deciding place is known well enough, and kept.
#include "throughcure/plan/solve.hpp"

#include <algorithm>

#include <gtest/gtest.h>

#include "support/demo_case.hpp"
#include "whole/demo_ground.hpp"

namespace throughcure::tests {
namespace {

constexpr plan::SolveEffort kEffort{.precision = 0.12, .first_paths = 1600, .most_paths = 9600};

TEST(Solve, ReachesThePrecisionOrTheMostPathsAndWalksNothingTwice) {
  const plan::Ground& ground = demo_ground();
  const std::vector<plan::Exposure> schedule = poor_schedule();
  const plan::Solution first = plan::solve(ground, schedule, kEffort, {.threads = 2});
  std::size_t grown = 0;
  std::size_t reached = 0;
  for (std::size_t p = 0; p < ground.targets.size(); ++p) {
    std::uint64_t most = 0;
    for (const auto& state : first.rays.of) {
      for (const auto& run : state[p]) most = std::max<std::uint64_t>(most, run ? run->launched : 0);
    }
    if (most > kEffort.first_paths) ++grown;
    const plan::CellVerdict& cell = first.verdict.cells[p];
    if (!cell.decides) {
      EXPECT_EQ(most, kEffort.first_paths) << "the top is only shown";
    } else if (cell.relative_se <= kEffort.precision) {
      ++reached;
    } else {
      EXPECT_GE(most, kEffort.most_paths) << cell.target.name;
    }
    EXPECT_LE(cell.decides ? cell.relative_se : 0, first.worst_relative_se);
  }
  EXPECT_GT(grown, 0U);
  EXPECT_GT(reached, 0U);

  const plan::Solution again = plan::solve(ground, schedule, kEffort, {.threads = 2}, first.rays);
  EXPECT_EQ(again.paths, first.paths);
  for (std::size_t s = 0; s < first.rays.of.size(); ++s) {
    for (std::size_t p = 0; p < first.rays.of[s].size(); ++p) {
      EXPECT_EQ(again.rays.of[s][p], first.rays.of[s][p]) << "the very runs that were there";
    }
  }
  EXPECT_EQ(again.verdict.probability, first.verdict.probability);
  EXPECT_EQ(again.verdict.probability_se, first.verdict.probability_se);
}

TEST(Solve, StopsWhenAsked) {
  const std::stop_source stop;
  stop.request_stop();
  EXPECT_THROW(plan::solve(demo_ground(), poor_schedule(), kEffort, {.threads = 1, .stop = stop.get_token()}),
               base::Interrupted);
}

}  // namespace
}  // namespace throughcure::tests
