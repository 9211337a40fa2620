// Proposed changes: each solved, none shorter, those that cure through first.
#include <algorithm>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "support/demo_case.hpp"
#include "throughcure/exchange/verdict_document.hpp"
#include "throughcure/plan/mend.hpp"
#include "unit/service/api_description.hpp"
#include "whole/demo_ground.hpp"

namespace throughcure::tests {
namespace {

/// What is not as the API's description says of a mend; empty: nothing.
std::string described_mend_fault(const plan::Ground& ground, const plan::Mend& mend) {
  exchange::PlainTable document = exchange::mend_document(mend);
  document.push_back(
      {"document", exchange::plain(exchange::PlainTable{
                       {"exposure", exchange::plain(exchange::schedule_document(ground, mend.schedule))}})});
  const nlohmann::json all = api_description();
  const nlohmann::json::json_pointer place("/components/schemas/PlanReasons/properties/mends/items");
  return schema_fault(all, all.at(place), nlohmann::json::parse(exchange::to_json(document)), mend.label);
}

bool good(const plan::Mend& mend) { return mend.verdict.word == plan::Word::kThroughCured; }

/// As many paths as `demo_rays` has, so that nothing more is walked.
constexpr plan::SolveEffort kEffort{.precision = 0.5, .most_paths = 6400};

TEST(Mends, AreSolvedAndOrderedAndNeverShorter) {
  const plan::Ground& ground = demo_ground();
  const std::vector<plan::Exposure> schedule = poor_schedule();
  plan::Rays rays = demo_rays();
  const std::vector<plan::Mend> mends =
      plan::mends(ground, schedule, judged(ground, schedule), rays, kEffort, {.threads = 2});
  ASSERT_GE(mends.size(), 3U);
  EXPECT_TRUE(std::ranges::is_partitioned(mends, good));
  for (std::size_t i = 1; i < mends.size(); ++i) {
    const plan::Mend& before = mends[i - 1];
    if (good(mends[i])) {
      EXPECT_LE(before.extra_seconds, mends[i].extra_seconds);
    } else if (!good(before)) {
      EXPECT_GE(before.verdict.probability, mends[i].verdict.probability);
    }
  }
  for (const plan::Mend& mend : mends) {
    ASSERT_GE(mend.schedule.size(), schedule.size()) << mend.label;
    EXPECT_EQ(described_mend_fault(ground, mend), "");
    double seconds = 0;
    for (const plan::Exposure& exposure : mend.schedule) seconds += exposure.seconds;
    EXPECT_NEAR(mend.extra_seconds, seconds - 60, 1e-9) << mend.label;
    for (std::size_t e = 0; e < schedule.size(); ++e) {
      EXPECT_EQ(mend.schedule[e].state, schedule[e].state) << mend.label;
      EXPECT_GE(mend.schedule[e].seconds, schedule[e].seconds) << mend.label;
    }
    const plan::Verdict again = plan::solve(ground, mend.schedule, kEffort, {.threads = 2}, rays).verdict;
    EXPECT_EQ(again.probability, mend.verdict.probability) << mend.label;
    EXPECT_EQ(again.worst, mend.verdict.worst) << mend.label;
    for (std::size_t i = 0; i < again.cells.size(); ++i) {
      EXPECT_EQ(again.cells[i].light_j_cm2, mend.verdict.cells[i].light_j_cm2) << mend.label;
    }
  }
}

TEST(Mends, NothingIsProposedWhereItCuresThrough) {
  const std::vector<plan::Exposure> schedule = with_laterals(each_increment(over_floor(), 20));
  const plan::Verdict verdict = judged(demo_ground(), schedule);
  ASSERT_EQ(verdict.word, plan::Word::kThroughCured);
  plan::Rays rays = demo_rays();
  EXPECT_TRUE(plan::mends(demo_ground(), schedule, verdict, rays, kEffort, {}).empty());
}

TEST(Mends, AGapThatIsNoneIsNotMended) {
  // Upright and in contact already: only time and sides are left.
  const std::vector<plan::Exposure> schedule = each_increment(over_floor(), 5);
  plan::Rays rays = demo_rays();
  for (const plan::Mend& mend :
       plan::mends(demo_ground(), schedule, judged(demo_ground(), schedule), rays, kEffort, {.threads = 2})) {
    EXPECT_EQ(mend.label.find("upright"), std::string::npos) << mend.label;
    EXPECT_GT(mend.extra_seconds, 0) << mend.label;
  }
}

}  // namespace
}  // namespace throughcure::tests
