// Every target of the demo's site, in every state in which it exists, from above, badly held and from the side: guided
// paths walked back against light followed forward.
#include <algorithm>
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

/// Adds batches until every tip's standard error is at `aim`, or there are `most` batches; then walks as many once more
/// with other random numbers. A run that stops because its own error looks small has an error that looks too small.
std::vector<base::Estimate> back(const Lit& l, ReverseInput input, double aim, std::uint32_t most,
                                 const base::Running& running) {
  const auto found_by = [&](const ReverseRays& rays) {
    EXPECT_EQ(rays.lost, 0);
    std::vector<base::Estimate> found;
    found.reserve(l.tips.size());
    for (const PosedTip& tip : l.tips) found.push_back(fluence_per_mw(rays, tip));
    return found;
  };
  ReverseRays rays = run_reverse(l.scene, l.media, input, running);
  while (rays.batches < most &&
         std::ranges::any_of(found_by(rays), [&](const base::Estimate& e) { return !(e.se < aim * e.value); })) {
    extend(rays, l.scene, l.media, rays.batches, running);
  }
  input.seed += 1000;
  input.paths = rays.launched;
  input.batches = rays.batches;
  return found_by(run_reverse(l.scene, l.media, input, running));
}

/// By the number of increments placed, then with the band off.
class DemoTargets : public testing::TestWithParam<std::size_t> {};

// Bound: 3.5 combined standard errors a comparison, a false alarm once in 2150; some 130 comparisons at fixed seeds.
// Aims at 2 %; light followed forward stops at 12 million photons, where the worst cell under the badly held tip is
// still at some 5 %. Only where THROUGHCURE_SLOW is set: with fewer photons too few meet a ball of 0.12 mm to know
// their error.
TEST_P(DemoTargets, ReverseAgreesWithForwardAtEveryTarget) {
  // NOLINTNEXTLINE(concurrency-mt-unsafe): nothing here changes the environment
  if (std::getenv("THROUGHCURE_SLOW") == nullptr) GTEST_SKIP() << "only in ./check --slow";
  const base::Running running{.threads = base::hardware_threads()};
  constexpr double aim = 0.02;
  constexpr std::uint32_t most_batches = 4096;
  constexpr std::uint64_t photons = 12'000'000;
  const anatomy::Site site = tests::demo_site();
  const std::vector<anatomy::Target> targets = anatomy::targets(site);
  const std::vector<anatomy::SceneState> states = scene_states(site);
  ASSERT_LT(GetParam(), states.size());
  const anatomy::SceneState& state = states[GetParam()];
  double worst_back = 0;
  double worst_there = 0;
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
    const ForwardResult run =
        run_forward(l.scene, l.media, tip, {.cells = cells, .photons = photons, .seed = 1}, running);
    EXPECT_EQ(run.lost, 0);
    there.push_back(run.fluence_per_mw);
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
    }
  }
  std::cout << state.name << ": largest standard errors: back " << worst_back << ", forward " << worst_there << "\n";
  EXPECT_GT(worst_there, 0);
}
INSTANTIATE_TEST_SUITE_P(Slow, DemoTargets, testing::Range<std::size_t>(1, 5));

}  // namespace
}  // namespace throughcure::transport
