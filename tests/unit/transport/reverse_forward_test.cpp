// The paths walked back against the light followed forward, over random scenes: index steps, metal, lateral poses, a
// tip in contact, and draws of absorption and scattering.
#include <cmath>
#include <cstdlib>
#include <span>

#include <gtest/gtest.h>

#include "support/random_optics.hpp"
#include "throughcure/transport/forward.hpp"
#include "throughcure/transport/response.hpp"
#include "throughcure/transport/reverse.hpp"

namespace throughcure::transport {
namespace {

constexpr std::uint64_t kFresh = 1'000'000;  ///< away from a seed: other random numbers

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

/// Grows a run until its relative standard error is at `aim`, or the work is at `most`; then runs as many once more
/// with other random numbers. A run that stops because its own error looks small has an error that looks too small.
template <class Run>
base::Estimate to_error(double aim, std::uint64_t first, std::uint64_t most, Run&& run) {
  std::uint64_t n = first;
  for (base::Estimate e = run(n, 0); n < most && !(e.se < aim * e.value); e = run(n, 0)) {
    const double ratio = e.value > 0 ? std::pow(e.se / (aim * e.value), 2) * 1.2 : 4;
    n = std::min(most, static_cast<std::uint64_t>(static_cast<double>(n) * std::clamp(ratio, 1.5, 16.0)));
  }
  return run(n, kFresh);
}

/// Compares one random scene in its media and beside a draw of them; false where the scene has no cell.
bool compare(std::uint64_t id, double aim, std::uint64_t most) {
  const base::Running running{.threads = base::hardware_threads()};
  const Bench b = random_bench(id);
  if (!b.fine) return false;
  double lost = 0;
  const auto backward = [&](std::span<const Media> walks, std::uint64_t seed) {
    return to_error(aim, 40'000, most, [&](std::uint64_t n, std::uint64_t fresh) {
      const ReverseRays rays = run_reverse(b.scene, walks, {.cell = b.cell, .paths = n, .seed = seed + fresh}, running);
      lost += rays.lost;
      return fluence_per_mw(rays, b.tip);
    });
  };
  const auto forward = [&](const Media& media, std::uint64_t seed) {
    return to_error(aim, 40'000, most, [&](std::uint64_t n, std::uint64_t fresh) {
      return run_forward(b.scene, media, b.tip, {.cells = {b.cell}, .photons = n, .seed = seed + fresh}, running)
          .fluence_per_mw[0];
    });
  };
  const base::Estimate back = backward({&b.media, 1}, id);
  const base::Estimate there = forward(b.media, id);
  EXPECT_NEAR(back.value, there.value, 3.5 * std::hypot(back.se, there.se))
      << "scene " << id << ": back " << back.value << " +- " << back.se << ", forward " << there.value << " +- "
      << there.se;

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
  const base::Estimate both = backward(walks, 1000 + id);
  const base::Estimate drawn = forward(walks[1], 2000 + id);
  EXPECT_NEAR(both.value, (there.value + drawn.value) / 2, 3.5 * std::hypot(both.se, there.se / 2, drawn.se / 2))
      << "scene " << id << ", beside drawn media";
  EXPECT_EQ(lost, 0) << "scene " << id;
  return true;
}

// Bound: 3.5 combined standard errors a comparison, a false alarm once in 2150; 12 comparisons at fixed seeds.
TEST(ReverseAgainstForward, AgreeInRandomScenesAndDraws) {
  int compared = 0;
  for (std::uint64_t id = 0; id < 6; ++id) compared += compare(id, 0.04, 600'000) ? 1 : 0;
  EXPECT_GE(compared, 5);
}

/// The same in 50 scenes to 1 %, five to a test; `./check --slow`.
class ManyScenes : public testing::TestWithParam<std::uint64_t> {};
constexpr std::uint64_t kScenesOfTest = 5;

// Bound: 3.5 combined standard errors a comparison, a false alarm once in 2150; some 100 comparisons at fixed seeds.
TEST_P(ManyScenes, AgreeToOnePercent) {
  // NOLINTNEXTLINE(concurrency-mt-unsafe): nothing here changes the environment
  if (std::getenv("THROUGHCURE_SLOW") == nullptr) GTEST_SKIP() << "only in ./check --slow";
  int compared = 0;
  for (std::uint64_t i = 0; i < kScenesOfTest; ++i) {
    compared += compare(GetParam() * kScenesOfTest + i, 0.01, 20'000'000) ? 1 : 0;
  }
  EXPECT_GE(compared, 4);
}
INSTANTIATE_TEST_SUITE_P(Slow, ManyScenes, testing::Range<std::uint64_t>(0, 10));

}  // namespace
}  // namespace throughcure::transport
