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
  int reweighted_compared = 0;
  for (std::uint64_t id = 0; id < scenes(); ++id) {
    const Bench b = random_bench(id);
    if (!b.fine) continue;
    ReverseRays rays;
    const base::Estimate back = until(aim, 40'000, most, [&](std::uint64_t n) {
      rays = run_reverse(b.scene, b.media, {.cell = b.cell, .paths = n, .seed = id}, running);
      return fluence_per_mw(find_hits(rays, b.tip));
    });
    const auto forward = [&](const Media& media) {
      return until(aim, 40'000, most, [&](std::uint64_t n) {
        return run_forward(b.scene, media, b.tip, {.cells = {b.cell}, .photons = n, .seed = id}, running)
            .fluence_per_mw[0];
      });
    };
    const base::Estimate there = forward(b.media);
    EXPECT_EQ(rays.lost, 0);
    EXPECT_NEAR(back.value, there.value, 3.5 * std::hypot(back.se, there.se))
        << "scene " << id << ": back " << back.value << " +- " << back.se << ", forward " << there.value << " +- "
        << there.se;
    ++compared;

    // A draw: more absorption and other scattering in every turbid medium, from the same paths.
    Media drawn = b.media;
    MediaChange change;
    base::Stream random(42, 0, id);
    for (Medium& m : drawn) {
      const bool turbid = m.kind == MediumKind::turbid;
      const double more = turbid ? 0.1 * random.uniform() : 0;
      const double factor = turbid ? 0.93 + 0.14 * random.uniform() : 1;
      change.mua_per_mm.push_back(more);
      change.mus_factor.push_back(factor);
      change.mus_per_mm.push_back(m.mus_per_mm);
      m.mua_per_mm += more;
      m.mus_per_mm *= factor;
    }
    const Reweighted draw = reweighted(find_hits(rays, b.tip), change);
    if (draw.effective_share < 0.3) continue;
    const base::Estimate drawn_forward = forward(drawn);
    EXPECT_NEAR(draw.fluence_per_mw.value, drawn_forward.value,
                3.5 * std::hypot(draw.fluence_per_mw.se, drawn_forward.se))
        << "scene " << id << ", drawn media, effective share " << draw.effective_share;
    ++reweighted_compared;
  }
  EXPECT_GE(compared, static_cast<int>(scenes()) * 8 / 10);
  EXPECT_GE(reweighted_compared, compared / 2);
}

}  // namespace
}  // namespace throughcure::transport
