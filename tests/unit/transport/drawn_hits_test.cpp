// Fewer hits, drawn in proportion to what they give, and fewer batches: rougher, and right in the mean.
#include <cmath>
#include <vector>

#include <gtest/gtest.h>

#include "throughcure/base/estimate.hpp"
#include "throughcure/transport/response.hpp"
#include "throughcure/transport/reverse.hpp"

namespace throughcure::transport {
namespace {

constexpr std::size_t kRuns = 32;

/// A cell under 2 mm of turbid resin, lit by a tip of 8 mm.
struct Block {
  anatomy::Scene scene;
  Media media{air(), {.n = 1.5, .mua_per_mm = 0.1, .mus_per_mm = 8, .g = 0.8}};
  PosedTip tip =
      posed(optics::tip_source(optics::tip_map(optics::UniformDisc{}, 8), optics::shape_of_half_angle(25, 0.1)),
            {0, 0, -1}, {0, 0, 1});
  Block() {
    anatomy::SceneBuilder builder("air");
    const auto resin = builder.medium("resin");
    builder.add(resin, anatomy::box({-4, -4, 0}, {4, 4, 6}));
    scene = builder.scene();
  }
  [[nodiscard]] ReverseRays rays(std::uint64_t seed) const {
    return run_reverse(scene, media, {.cell = {{0, 0, 2}, 0.2}, .paths = 3200, .seed = seed}, {.threads = 2});
  }
};

// Bound: 3.5 standard errors of the mean difference, a false alarm once in 1000 with 31 degrees of freedom or rarer
// than that; the seeds are fixed.
TEST(DrawnHits, GiveWhatAllHitsGiveInTheMean) {
  const Block block;
  const MediaChange darker{.mua_per_mm = {0, 0.05}, .mus_factor = {}, .mus_per_mm = {}};
  std::vector<double> nominal;
  std::vector<double> changed;
  double all = 0;
  for (std::size_t run = 0; run < kRuns; ++run) {
    const ReverseRays rays = block.rays(100 + run);
    const Hits full = find_hits(rays, block.tip);
    const Hits few = find_hits(rays, block.tip, kAllBatches, 60);
    ASSERT_GT(full.batch.size(), 2 * few.batch.size());
    nominal.push_back(fluence_per_mw(few).value - fluence_per_mw(full).value);
    changed.push_back(reweighted(few, darker).fluence_per_mw.value - reweighted(full, darker).fluence_per_mw.value);
    all += fluence_per_mw(full).value / kRuns;
  }
  for (const std::vector<double>& off : {nominal, changed}) {
    const base::Estimate mean = base::estimate_from_batches(off);
    EXPECT_NEAR(mean.value, 0, 3.5 * mean.se + 1e-9 * all);
    EXPECT_LT(mean.se, 0.05 * all);
  }
}

TEST(DrawnHits, OfTheFirstBatchesAreThoseOfAShorterRun) {
  const Block block;
  const ReverseRays rays = block.rays(7);
  const ReverseRays shorter =
      run_reverse(block.scene, block.media, {.cell = rays.cell, .paths = 1600, .seed = 7, .batches = 16}, {});
  const base::Estimate first = fluence_per_mw(find_hits(rays, block.tip, 16, std::size_t{1} << 30U));
  EXPECT_DOUBLE_EQ(first.value, fluence_per_mw(find_hits(shorter, block.tip)).value);
}

}  // namespace
}  // namespace throughcure::transport
