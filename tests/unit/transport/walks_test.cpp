// Paths that take several media in turn: each walk's own paths are those of a run in its media.
#include <algorithm>
#include <cmath>
#include <vector>

#include <gtest/gtest.h>

#include "throughcure/base/estimate.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/transport/forward.hpp"
#include "throughcure/transport/response.hpp"
#include "throughcure/transport/reverse.hpp"

namespace throughcure::transport {
namespace {

const base::Running kEverywhere{.threads = base::hardware_threads()};
constexpr std::size_t kRuns = 24;

/// A block of turbid tooth with a steel side, a filling of resin in it, and a tip a little above the filling.
struct Filling {
  anatomy::Scene scene;
  Media media{air(),
              {.kind = MediumKind::metal, .reflectance = 0.5, .specular = 0.5},
              {.n = 1.53, .mua_per_mm = 0.2, .mus_per_mm = 4, .g = 0.7},
              {.n = 1.6, .mua_per_mm = 0.1, .mus_per_mm = 6, .g = 0.9}};
  PosedTip tip =
      posed(optics::tip_source(optics::tip_map(optics::UniformDisc{}, 6), optics::shape_of_half_angle(25, 0.1)),
            {0, 0, -0.5}, {0, 0, 1});
  Cell cell{{0.8, 0, 2.4}, 0.3};

  Filling() {
    anatomy::SceneBuilder builder("air");
    const auto steel = builder.medium("steel");
    const auto resin = builder.medium("resin");
    const auto tooth = builder.medium("tooth");
    builder.add(steel, anatomy::box({2, -3, -0.5}, {2.05, 3, 4}));
    builder.add(resin, anatomy::box({-1, -2, 0}, {2, 2, 3}));
    builder.add(tooth, anatomy::box({-5, -5, 0}, {5, 5, 7}));
    scene = builder.scene();
  }
  /// Resin and tooth that scatter and absorb so many times as much, and steel that sends back as much more.
  [[nodiscard]] Media changed(double scattering, double absorption, double reflectance) const {
    Media changed = media;
    for (Medium& m : changed) {
      m.mus_per_mm *= scattering;
      m.mua_per_mm *= absorption;
      m.reflectance *= reflectance;
    }
    return changed;
  }
  [[nodiscard]] std::vector<Media> three() const { return {changed(0.6, 1.5, 1.4), media, changed(1.5, 0.5, 0.4)}; }
};

void expect_identical(const ReverseRays& a, const ReverseRays& b) {
  ASSERT_EQ(a.pieces.size(), b.pieces.size());
  for (std::size_t i = 0; i < a.pieces.size(); ++i) {
    EXPECT_EQ(a.pieces[i].r, b.pieces[i].r);
    EXPECT_EQ(a.pieces[i].u, b.pieces[i].u);
    EXPECT_EQ(a.pieces[i].w, b.pieces[i].w);
  }
  EXPECT_EQ(a.path_starts, b.path_starts);
  EXPECT_EQ(a.path_batch, b.path_batch);
  EXPECT_EQ(a.path_walk, b.path_walk);
  EXPECT_EQ(a.account, b.account);
  EXPECT_EQ(a.launched, b.launched);
  EXPECT_EQ(a.batches, b.batches);
}

// Bound: 3.5 combined standard errors on each of three walks, of 24 runs and of 32 batches: a false alarm once in 300;
// the seeds are fixed.
TEST(Walks, EachIsLightFollowedForwardInItsMedia) {
  const Filling f;
  const std::vector<Media> walks = f.three();
  std::vector<std::vector<double>> by_walk(walks.size());
  for (std::size_t run = 0; run < kRuns; ++run) {
    const ReverseRays rays =
        run_reverse(f.scene, walks, {.cell = f.cell, .paths = 3000, .seed = 100 + run}, kEverywhere);
    const LightOfWalks light = light_of_walks(rays, f.tip, {});
    for (std::size_t w = 0; w < walks.size(); ++w) by_walk[w].push_back(light.per_mw[w]);
  }
  for (std::size_t w = 0; w < walks.size(); ++w) {
    const base::Estimate back = base::estimate_from_batches(by_walk[w]);
    const base::Estimate there =
        run_forward(f.scene, walks[w], f.tip, {.cells = {f.cell}, .photons = 200'000, .seed = 5}, kEverywhere)
            .fluence_per_mw[0];
    EXPECT_NEAR(back.value, there.value, 3.5 * std::hypot(back.se, there.se)) << "walk " << w;
    EXPECT_LT(std::hypot(back.se, there.se), 0.05 * there.value) << "too rough to say anything";
  }
}

TEST(Walks, TogetherTheyAreTheMeanOfAll) {
  const Filling f;
  const ReverseRays rays = run_reverse(f.scene, f.three(), {.cell = f.cell, .paths = 3200, .seed = 3}, kEverywhere);
  const LightOfWalks light = light_of_walks(rays, f.tip, {});
  double sum = 0;
  std::uint64_t launched = 0;
  for (std::size_t w = 0; w < light.per_mw.size(); ++w) {
    sum += light.per_mw[w] * static_cast<double>(light.launched[w]);
    launched += light.launched[w];
  }
  EXPECT_EQ(launched, rays.launched);
  EXPECT_LE(*std::ranges::max_element(light.launched) - *std::ranges::min_element(light.launched), 1U);
  EXPECT_NEAR(sum / static_cast<double>(launched), fluence_per_mw(rays, f.tip).value, 1e-12);
}

/// In a clear absorber a path's account is its length: 3 mm from a cell to a tip's face straight above it, in air the
/// last of them.
TEST(Walks, AccountIsLengthByMediumAndMeetingsInMetal) {
  anatomy::SceneBuilder builder("air");
  const auto glass = builder.medium("glass");
  builder.add(glass, anatomy::box({-50, -50, 0}, {50, 50, 50}));
  const Media media{air(), {.n = 1, .mua_per_mm = 0.5}};
  const PosedTip tip =
      posed(optics::tip_source(optics::tip_map(optics::UniformDisc{}, 1), optics::shape_of_half_angle(80, 0.1)),
            {0, 0, -1}, {0, 0, 1});
  const ReverseRays rays =
      run_reverse(builder.scene(), media, {.cell = {{0, 0, 2}, 0.01}, .paths = 200'000}, kEverywhere);
  const LightOfWalks light = light_of_walks(rays, tip, std::vector<std::vector<std::size_t>>{{1}, {0, 1}});
  ASSERT_GT(light.paths, 200U);
  // The tip's rim is seen under atan(0.5 / 3): ways through 2 mm of glass are 2 to 2.03 mm long.
  EXPECT_NEAR(light.account_mean[0], 2.014, 0.02);
  EXPECT_LT(light.account_variance[0], 4e-4);
  EXPECT_DOUBLE_EQ(light.account_mean[0], light.account_mean[1]) << "air has no account";
}

/// A solid of air in the air, as an empty cavity is, cuts no piece in two.
TEST(Walks, GoStraightOnFromAirIntoAir) {
  anatomy::SceneBuilder builder("air");
  const auto glass = builder.medium("glass");
  builder.add(0, anatomy::box({-50, -50, -3}, {50, 50, -1}));
  builder.add(glass, anatomy::box({-50, -50, 0}, {50, 50, 50}));
  const Media media{air(), {.n = 1.5, .mua_per_mm = 0.01, .mus_per_mm = 1, .g = 0.5}};
  const ReverseInput input{.cell = {{0, 0, 1}, 0.1}, .paths = 2000, .seed = 4};
  const ReverseRays rays = run_reverse(builder.scene(), media, input, kEverywhere);
  ASSERT_GT(rays.paths(), 500U);
  EXPECT_EQ(rays.pieces.size(), rays.paths()) << "a path that leaves the glass never comes back to it";
  for (const AirPiece& piece : rays.pieces) EXPECT_TRUE(std::isinf(piece.length_mm));
}

TEST(Walks, GiveTheSameBitsAtAnyNumberOfThreadsAndWhenExtended) {
  const Filling f;
  ReverseInput input{.cell = f.cell, .paths = 1600, .seed = 14};
  const ReverseRays one = run_reverse(f.scene, f.three(), input, {.threads = 1});
  expect_identical(one, run_reverse(f.scene, f.three(), input, {.threads = 3}));
  input.paths = 400;
  input.batches = 8;
  ReverseRays grown = run_reverse(f.scene, f.three(), input, kEverywhere);
  extend(grown, f.scene, f.three(), 24, kEverywhere);
  expect_identical(one, grown);
}

TEST(Walks, OneIsAPlainRun) {
  const Filling f;
  const ReverseInput input{.cell = f.cell, .paths = 800, .seed = 15};
  expect_identical(run_reverse(f.scene, f.media, input, kEverywhere),
                   run_reverse(f.scene, std::vector{f.media}, input, kEverywhere));
}

TEST(Walks, RefuseMediaThatDoNotGoTogether) {
  const Filling f;
  std::vector<Media> walks = f.three();
  walks[1].pop_back();
  const ReverseInput input{.cell = f.cell, .paths = 100};
  EXPECT_THROW(run_reverse(f.scene, walks, input, kEverywhere), base::Failure);
  walks = f.three();
  walks[2][2].n = 1.4;
  EXPECT_THROW(run_reverse(f.scene, walks, input, kEverywhere), base::Failure);
}

TEST(Walks, FirstBatchesAreThoseOfAShorterRun) {
  const Filling f;
  const ReverseRays rays = run_reverse(f.scene, f.three(), {.cell = f.cell, .paths = 3200, .seed = 7}, kEverywhere);
  const ReverseRays shorter =
      run_reverse(f.scene, f.three(), {.cell = f.cell, .paths = 1600, .seed = 7, .batches = 16}, kEverywhere);
  EXPECT_EQ(batches_of(rays, 1600), 16U);
  EXPECT_DOUBLE_EQ(fluence_per_mw(rays, f.tip, 16).value, fluence_per_mw(shorter, f.tip).value);
  EXPECT_EQ(light_of_walks(rays, f.tip, {}, 16).per_mw, light_of_walks(shorter, f.tip, {}).per_mw);
}

}  // namespace
}  // namespace throughcure::transport
