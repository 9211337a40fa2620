// The paths walked back against the light followed forward, over random scenes: index steps, metal, lateral poses, a
// tip in contact, and draws of absorption and scattering.
#include <cmath>
#include <cstdlib>

#include <gtest/gtest.h>

#include "support/random_optics.hpp"
#include "throughcure/transport/forward.hpp"
#include "throughcure/transport/response.hpp"
#include "throughcure/transport/reverse.hpp"

namespace throughcure::transport {
namespace {

struct Bench {
  anatomy::Scene scene;
  Media media;
  PosedTip tip;
  Cell cell;
  bool fine = false;
};

/// Odd scenes have a tip in contact: a block with a flat top under a tip 0.02 mm above it. Every third pose is lateral.
Bench random_bench(std::uint64_t id) {
  base::Stream random(41, 0, id);
  Bench bench;
  anatomy::Scene heap = tests::random_scene(random);
  bench.media = tests::random_media(heap, random);
  bench.tip = tests::random_tip(random);
  if (id % 2 == 1) {
    anatomy::SceneBuilder builder("air");
    const auto lump = builder.medium("lump");
    const auto block = builder.medium("block");
    builder.add(lump, {anatomy::ellipsoid({1, 0.5, 3}, {1.5, 2, 1})});
    builder.add(block, anatomy::box({-4, -3, 0}, {4, 3, 6}));
    const Media media = bench.media;
    bench.media = {air(), media[1], {.n = 1.5, .mua_per_mm = 0.05, .mus_per_mm = 3, .g = 0.7}};
    heap = builder.scene();
    const bool lateral = id % 3 == 0;
    bench.tip =
        lateral ? posed(bench.tip.source, {-4.02, 0, 2}, {1, 0, 0}) : posed(bench.tip.source, {0, 0, -0.02}, {0, 0, 1});
  }
  bench.scene = heap;
  for (int attempt = 0; attempt < 3000 && !bench.fine; ++attempt) {
    const base::Point p{6 * random.uniform() - 3, 6 * random.uniform() - 3, 6 * random.uniform() - 3};
    const std::uint32_t solid = bench.scene.solid_at(p);
    if (bench.media[bench.scene.medium_of(solid)].kind != MediumKind::turbid) continue;
    if (clearance_about(bench.scene, solid, p) < 0.4) continue;
    bench.cell = {p, 0.4};
    bench.fine = true;
  }
  return bench;
}

/// Doubles a run until its relative standard error is at `aim`, or the work is at `most`.
template <class Run>
base::Estimate until(double aim, std::uint64_t first, std::uint64_t most, Run&& run) {
  base::Estimate e = run(first);
  std::uint64_t n = first;
  while (n < most && !(e.se < aim * e.value)) {
    const double ratio = e.value > 0 ? std::pow(e.se / (aim * e.value), 2) * 1.2 : 4;
    n = std::min(most, static_cast<std::uint64_t>(static_cast<double>(n) * std::clamp(ratio, 1.5, 16.0)));
    e = run(n);
  }
  return e;
}

/// Six scenes to 4 % in the ordinary run; 50 to 1 % where THROUGHCURE_SLOW is set (`./check --slow`).
// NOLINTNEXTLINE(concurrency-mt-unsafe): nothing here changes the environment
bool slow() { return std::getenv("THROUGHCURE_SLOW") != nullptr; }
std::uint64_t scenes() { return slow() ? 50 : 6; }

// Bound: 3.5 combined standard errors a comparison, a false alarm once in 2150; about 100 comparisons at fixed seeds.
TEST(ReverseAgainstForward, AgreeInRandomScenesAndDraws) {
  const double aim = slow() ? 0.01 : 0.04;
  const std::uint64_t most = slow() ? 20'000'000 : 600'000;
  const base::Running running{.threads = base::hardware_threads()};
  int compared = 0;
  for (std::uint64_t id = 0; id < scenes(); ++id) {
    const Bench b = random_bench(id);
    if (!b.fine) continue;
    double lost = 0;
    const base::Estimate back = until(aim, 40'000, most, [&](std::uint64_t n) {
      const ReverseRays rays = run_reverse(b.scene, b.media, {.cell = b.cell, .paths = n, .seed = id}, running);
      lost += rays.lost;
      return fluence_per_mw(rays, b.tip);
    });
    const auto forward = [&](const Media& media, std::uint64_t seed) {
      return until(aim, 40'000, most, [&](std::uint64_t n) {
        return run_forward(b.scene, media, b.tip, {.cells = {b.cell}, .photons = n, .seed = seed}, running)
            .fluence_per_mw[0];
      });
    };
    const base::Estimate there = forward(b.media, id);
    EXPECT_EQ(lost, 0);
    EXPECT_NEAR(back.value, there.value, 3.5 * std::hypot(back.se, there.se))
        << "scene " << id << ": back " << back.value << " +- " << back.se << ", forward " << there.value << " +- "
        << there.se;
    ++compared;

    // A draw walked beside the nominal media: more absorption and other scattering in every turbid medium, another
    // reflectance of metal. The run gives the mean of both.
    std::vector<Media> walks(2, b.media);
    base::Stream random(42, 0, id);
    for (Medium& m : walks[1]) {
      if (m.kind == MediumKind::turbid) {
        m.mua_per_mm += 0.1 * random.uniform();
        m.mus_per_mm *= 0.6 + 0.8 * random.uniform();
      } else if (m.kind == MediumKind::metal) {
        m.reflectance *= 0.7 + 0.3 * random.uniform();
      }
    }
    const base::Estimate both = until(aim, 40'000, most, [&](std::uint64_t n) {
      return fluence_per_mw(run_reverse(b.scene, walks, {.cell = b.cell, .paths = n, .seed = 1000 + id}, running),
                            b.tip);
    });
    const base::Estimate drawn = forward(walks[1], 2000 + id);
    EXPECT_NEAR(both.value, (there.value + drawn.value) / 2, 3.5 * std::hypot(both.se, there.se / 2, drawn.se / 2))
        << "scene " << id << ", beside drawn media";
  }
  EXPECT_GE(compared, static_cast<int>(scenes()) * 8 / 10);
}

}  // namespace
}  // namespace throughcure::transport
