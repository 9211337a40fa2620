// What each cause costs: shares that compose, in a stated order, and that are exact where the cause only scales.
#include "throughcure/plan/why.hpp"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "support/demo_case.hpp"
#include "throughcure/exchange/verdict_document.hpp"
#include "throughcure/optics/light.hpp"
#include "unit/service/api_description.hpp"
#include "whole/demo_ground.hpp"

namespace throughcure::tests {
namespace {

/// A light at 80 % of its claim behind a barrier that passes 70 %.
plan::Ground weak_ground() { return plan::with_light(demo_ground(), {.value = 0.8}, {.value = 0.7}); }

plan::Why explained(const plan::Ground& ground, const std::vector<plan::Exposure>& schedule, std::size_t place) {
  plan::Solution solution;
  solution.rays = demo_rays();
  return plan::explain(ground, schedule, place, solution, {.first_paths = 1600}, {.threads = 2});
}

TEST(Why, SharesComposeToTheTotalInTheStatedOrder) {
  const plan::Ground ground = weak_ground();
  const std::size_t place = target_called(ground, "gingival floor, centre");
  const std::vector<plan::Exposure> schedule = poor_schedule();
  const plan::Why why = explained(ground, schedule, place);
  std::vector<std::string> order;
  double product = 1;
  for (const plan::Cause& cause : why.causes) {
    order.push_back(cause.cause);
    product *= cause.share_kept;
  }
  EXPECT_EQ(order, (std::vector<std::string>{"output", "barrier", "standoff", "tilt", "shadow", "depth and shade"}));
  EXPECT_DOUBLE_EQ(product, why.total_kept);
  // From the other end: what the verdict says that the place gets, over the light as claimed on a reference piece.
  const plan::Case& c = ground.c;
  const double claimed = optics::exitance_mw_cm2(c.light, c.light.radiant_power_mw.value) * 60 * 1e-3;
  const double reference = claimed * ground.materials[0].nominal_reference;
  EXPECT_NEAR(why.total_kept, judged(ground, schedule).cells[place].light_j_cm2 / reference, 1e-9 * why.total_kept);
  EXPECT_NEAR(why.causes[0].share_kept, 0.8, 1e-12);
  EXPECT_NEAR(why.causes[1].share_kept, 0.7, 1e-12);
  EXPECT_LT(why.causes[2].share_kept, 0.95) << "6 mm cost something";
  EXPECT_LT(why.causes[3].share_kept, 0.95) << "and so does the tilt";
  // As the page is told it, before anything that would mend it.
  exchange::PlainTable document = exchange::why_document(ground, why);
  document.push_back({"mends", exchange::plain(exchange::PlainList{})});
  EXPECT_EQ(described_fault("WhyAnswer", nlohmann::json::parse(exchange::to_json(document))), "");
}

TEST(Why, WhatIsNotThereCostsNothing) {
  const std::size_t place = target_called(demo_ground(), "gingival floor, centre");
  const plan::Why why = explained(demo_ground(), each_increment(over_floor(), 20), place);
  for (const std::size_t cause : {0U, 1U, 2U, 3U}) {
    EXPECT_EQ(why.causes.at(cause).share_kept, 1) << why.causes[cause].cause;
    EXPECT_EQ(why.causes[cause].relative_se, 0) << why.causes[cause].cause;
  }
}

TEST(Why, WhatNothingLightsHasNoCauses) {
  // The second increment is placed and never lit.
  const std::vector<plan::Exposure> schedule{{.state = 1, .pose = over_floor(), .mode = 0, .seconds = 20}};
  const plan::Why why = explained(demo_ground(), schedule, target_called(demo_ground(), "increment 2, bottom"));
  EXPECT_TRUE(why.causes.empty());
  EXPECT_EQ(why.total_kept, 0);
}

}  // namespace
}  // namespace throughcure::tests
