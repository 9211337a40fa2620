// The draws that a case stands on, sent through the very test that its paste's one statement comes from.
#include <gtest/gtest.h>

#include "support/demo_case.hpp"
#include "throughcure/cure/mould_of_material.hpp"
#include "throughcure/cure/scrape.hpp"
#include "throughcure/cure/usual_test_light.hpp"
#include "whole/demo_ground.hpp"

namespace throughcure::tests {
namespace {

TEST(ScrapeFact, TheDrawsOfACaseReproduceIt) {
  // The demo's paste (kind: invented): 2.8 mm after 20 s at 1000 mW/cm2. The mould is simulated here; the draws were
  // made from the embedded table of it.
  const plan::Ground& ground = demo_ground();
  const cure::DrawSource source{ground.priors, ground.c.materials[0], ground.c.mould_reflectance};
  const cure::MouldOf mould =
      cure::mould_of_material(source, cure::usual_test_light(), 0, {.photons = 20'000, .seed = 5}, {.threads = 2});
  std::vector<cure::Draw> draws;
  draws.reserve(ground.draws.size());
  for (const plan::CaseDraw& draw : ground.draws) draws.push_back(draw.materials[0]);
  ASSERT_EQ(draws.size(), kDraws);
  const cure::ScrapedDepth depth = cure::scraped_depth(draws, mould, {.exitance_mw_cm2 = 1000, .seconds = 20}, 0.5);
  RecordProperty("scraped depth p10", std::to_string(depth.p10));
  RecordProperty("scraped depth p50", std::to_string(depth.p50));
  RecordProperty("scraped depth p90", std::to_string(depth.p90));
  EXPECT_NEAR(depth.p50, 2.8, 0.1);
  EXPECT_LT(depth.p10, 2.8);
  EXPECT_GT(depth.p90, 2.8);
}

}  // namespace
}  // namespace throughcure::tests
