// A small simulated mould, as draws see it, and a paste calibrated through it.
#include "throughcure/cure/mould_profile.hpp"

#include <algorithm>
#include <vector>

#include <gtest/gtest.h>

#include "throughcure/base/parallel.hpp"
#include "throughcure/cure/ensemble.hpp"
#include "unit/cure/invented_paste.hpp"

namespace throughcure::cure {
namespace {

const MouldTables& tables() {
  static const MouldTables made = [] {
    const auto tip = optics::tip_source(optics::tip_map(optics::UniformDisc{}, 8), optics::shape_of_half_angle(20, 0));
    MouldTables all;
    for (const double wall : {0.3, 0.7}) {
      all.wall_reflectance.push_back(wall);
      all.light.push_back(simulate_mould(
          {.wall_reflectance = wall}, {.mua_per_mm = {0.05, 0.1, 0.2, 0.35}, .reduced_scattering_per_mm = {1, 2, 3.5}},
          tip, 30'000, 8, {.threads = base::hardware_threads()}));
    }
    return all;
  }();
  return made;
}

TEST(MouldProfileOfADraw, FollowsItsOpticsAndItsWall) {
  const MouldOf mould = mould_of(tables(), 0.1, 2);
  const auto deep = [&](double absorption, double scattering, double wall) {
    Draw draw;
    draw.absorption_factor.blue = absorption;
    draw.scattering_factor.blue = scattering;
    draw.mould_reflectance = wall;
    return ln_phi_per_exitance(mould(draw), 4);
  };
  EXPECT_LT(deep(1.5, 1, 0.5), deep(1, 1, 0.5));
  EXPECT_LT(deep(1, 1.5, 0.5), deep(1, 1, 0.5));
  EXPECT_LT(deep(1, 1, 0.3), deep(1, 1, 0.7));
  EXPECT_NEAR(deep(1, 1, 0.5), (deep(1, 1, 0.3) + deep(1, 1, 0.7)) / 2, 1e-12);
  EXPECT_EQ(deep(1, 1, 0.1), deep(1, 1, 0.3)) << "the nearest wall stands in";
  Draw middle;
  middle.mould_reflectance = 0.3;
  EXPECT_EQ(mould(middle).phi_per_exitance[3], fluence_per_exitance(tables().light[0], 0.1, 2)[3]);
  const std::vector<double> phi = mould(middle).phi_per_exitance;
  EXPECT_TRUE(std::is_sorted(phi.rbegin(), phi.rend())) << "noise is levelled out";
}

// The scrape is reproduced through the simulated mould by every draw that was conditioned on it.
TEST(MouldProfileOfADraw, CalibratesAPasteThroughTheSimulatedTest) {
  Facts facts;
  facts.scrapes = {{.depth_mm = 2.8,
                    .sd_mm = 0,
                    .exposure = {.exitance_mw_cm2 = 1000, .seconds = 20},
                    .mould = mould_of(tables(), 0.12, 2)}};
  const Ensemble ensemble = condition(invented::paste(), facts, 3, {.most_proposals = 4096});
  EXPECT_GT(ensemble.effective_sample_size, 300);
  for (const Draw& draw : ensemble.draws) {
    ASSERT_NEAR(scraped_length_mm(draw, facts.scrapes[0].mould(draw), facts.scrapes[0].exposure), 5.6, 1e-3);
  }
}

}  // namespace
}  // namespace throughcure::cure
