// Every target of the demo's site, in every state in which it exists, from above, badly held and from the side: guided
// paths walked back against light followed forward.
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <iostream>
#include <memory>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "support/demo_media.hpp"
#include "support/demo_pose.hpp"
#include "support/demo_site.hpp"
#include "throughcure/anatomy/states.hpp"
#include "throughcure/anatomy/targets.hpp"
#include "throughcure/transport/forward.hpp"
#include "throughcure/transport/response.hpp"
#include "throughcure/transport/reverse.hpp"

namespace throughcure::transport {
namespace {

// NOLINTNEXTLINE(concurrency-mt-unsafe): nothing here changes the environment
bool slow() { return std::getenv("THROUGHCURE_SLOW") != nullptr; }

/// One state of the site, with the three tips held over it.
struct Lit {
  anatomy::Scene scene;
  Media media;
  std::array<std::string, 3> names = {"upright", "poor", "lateral"};
  std::vector<PosedTip> tips;
};

Lit lit(const anatomy::Site& site, const anatomy::SceneState& state) {
  Lit l;
  l.scene = build_scene(site, state);
  l.media = tests::demo_media(l.scene);
  const base::Point box{4.4, 0, 3};
  l.tips = {tests::held(l.scene, l.media, box, tests::from_above(0), 0.02),
            tests::held(l.scene, l.media, box, tests::from_above(20), 6),
            tests::held(l.scene, l.media, box, {0, 1, 0}, 1)};
  return l;
}

/// Adds batches until every tip's standard error is at `aim`, or there are `most` batches.
std::vector<base::Estimate> back(const Lit& l, const ReverseInput& input, double aim, std::uint32_t most,
                                 const base::Running& running) {
  ReverseRays rays = run_reverse(l.scene, l.media, input, running);
  while (true) {
    std::vector<base::Estimate> found;
    bool fine = true;
    for (const PosedTip& tip : l.tips) {
      found.push_back(fluence_per_mw(rays, tip));
      fine = fine && found.back().se < aim * found.back().value;
    }
    EXPECT_EQ(rays.lost, 0);
    if (fine || rays.batches >= most) return found;
    extend(rays, l.scene, l.media, rays.batches, running);
  }
}

/// Adds runs of `photons` until every cell's standard error is at `aim`, or there are `most` runs.
std::vector<base::Estimate> forward(const Lit& l, const PosedTip& tip, const std::vector<Cell>& cells, double aim,
                                    std::uint64_t photons, int most, const base::Running& running) {
  std::vector<base::Estimate> sum(cells.size());
  std::vector<base::Estimate> mean(cells.size());
  for (int runs = 1;; ++runs) {
    const ForwardResult run = run_forward(
        l.scene, l.media, tip, {.cells = cells, .photons = photons, .seed = static_cast<std::uint64_t>(runs)}, running);
    EXPECT_EQ(run.lost, 0);
    bool fine = true;
    for (std::size_t c = 0; c < cells.size(); ++c) {
      sum[c].value += run.fluence_per_mw[c].value;
      sum[c].se = std::hypot(sum[c].se, run.fluence_per_mw[c].se);
      mean[c] = {sum[c].value / runs, sum[c].se / runs};
      fine = fine && mean[c].se < aim * mean[c].value;
    }
    if (fine || runs >= most) return mean;
  }
}

// Bound: 3.5 combined standard errors a comparison, a false alarm once in 2150; some 130 comparisons at fixed seeds.
// Aims at 2 %; light followed forward stops at 12 million photons, where the worst cell under the badly held tip is
// still at some 5 %. Only where THROUGHCURE_SLOW is set: with fewer photons too few meet a ball of 0.12 mm to know
// their error.
TEST(DemoTargets, ReverseAgreesWithForwardAtEveryTargetInEveryState) {
  if (!slow()) GTEST_SKIP() << "only where THROUGHCURE_SLOW is set (./check --slow)";
  const base::Running running{.threads = base::hardware_threads()};
  constexpr double aim = 0.02;
  constexpr std::uint32_t most_batches = 4096;
  constexpr std::uint64_t photons = 1'000'000;
  constexpr int most_runs = 12;
  const anatomy::Site site = tests::demo_site();
  const std::vector<anatomy::Target> targets = anatomy::targets(site);
  int compared = 0;
  double worst_back = 0;
  double worst_there = 0;
  for (const anatomy::SceneState& state : scene_states(site)) {
    if (state.increments == 0) continue;
    const Lit l = lit(site, state);
    std::vector<Cell> cells;
    std::vector<base::Point> centres;
    std::vector<std::string> names;
    for (const anatomy::Target& target : targets) {
      if (target.increment >= state.increments) continue;
      cells.push_back({target.centre, target.radius_mm});
      centres.push_back(target.centre);
      names.push_back(target.name);
    }
    const auto guide = std::make_shared<const Guide>(guide_to(l.scene, l.media, l.tips, centres));
    std::vector<std::vector<base::Estimate>> there;  // [tip][cell]
    there.reserve(l.tips.size());
    for (const PosedTip& tip : l.tips) {
      there.push_back(forward(l, tip, cells, aim, photons, most_runs, running));
    }
    for (std::size_t c = 0; c < cells.size(); ++c) {
      const auto stream = static_cast<std::uint32_t>(c);
      const std::vector<base::Estimate> found =
          back(l, {.cell = cells[c], .paths = 16'000, .seed = 31, .stream = stream, .guide = guide}, aim, most_batches,
               running);
      for (std::size_t t = 0; t < l.tips.size(); ++t) {
        const base::Estimate& a = found[t];
        const base::Estimate& b = there[t][c];
        const std::string what = state.name + ", " + names[c] + ", " + l.names[t];
        std::cout << what << ": " << a.value << " +- " << a.se << " | " << b.value << " +- " << b.se << "\n"
                  << std::flush;
        EXPECT_NEAR(a.value, b.value, 3.5 * std::hypot(a.se, b.se))
            << what << ": back " << a.value << " +- " << a.se << ", forward " << b.value << " +- " << b.se;
        worst_back = std::max(worst_back, a.se / a.value);
        worst_there = std::max(worst_there, b.se / b.value);
        ++compared;
      }
    }
  }
  RecordProperty("compared", compared);
  std::cout << compared << " comparisons; largest standard errors: back " << worst_back << ", forward " << worst_there
            << "\n";
  EXPECT_GT(compared, 100);
}

}  // namespace
}  // namespace throughcure::transport
