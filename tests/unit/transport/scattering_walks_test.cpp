// Walks at stated scattering: paths divided over them count for every draw of scattering, without bias.
#include "throughcure/transport/scattering_walks.hpp"

#include <cmath>
#include <string>

#include <gtest/gtest.h>

#include "throughcure/base/problem.hpp"
#include "throughcure/transport/forward.hpp"
#include "throughcure/transport/response.hpp"
#include "throughcure/transport/reverse.hpp"

namespace throughcure::transport {
namespace {

const base::Running kEverywhere{.threads = base::hardware_threads()};

/// A block of turbid tooth with a steel side, a filling of resin in it, and a tip a little above the filling.
struct Filling {
  anatomy::Scene scene;
  Media media;
  PosedTip tip;
  Cell cell{{0.8, 0, 2.4}, 0.3};
};

Filling filling() {
  anatomy::SceneBuilder builder("air");
  const auto steel = builder.medium("steel");
  const auto resin = builder.medium("resin");
  const auto tooth = builder.medium("tooth");
  builder.add(steel, anatomy::box({2, -3, -0.5}, {2.05, 3, 4}));
  builder.add(resin, anatomy::box({-1, -2, 0}, {2, 2, 3}));
  builder.add(tooth, anatomy::box({-5, -5, 0}, {5, 5, 7}));
  return {builder.scene(),
          {air(),
           {.kind = MediumKind::metal, .reflectance = 0.5, .specular = 0.5},
           {.n = 1.53, .mua_per_mm = 0.2, .mus_per_mm = 4, .g = 0.7},
           {.n = 1.6, .mua_per_mm = 0.1, .mus_per_mm = 6, .g = 0.9}},
          posed(optics::tip_source(optics::tip_map(optics::UniformDisc{}, 6), optics::shape_of_half_angle(25, 0.1)),
                {0, 0, -0.5}, {0, 0, 1})};
}

/// Factors of the scattering of air, steel, resin and tooth.
std::vector<double> factors(double resin, double tooth) { return {1, 1, resin, tooth}; }

Media scattering(Media media, const std::vector<double>& factors) {
  for (std::size_t m = 0; m < media.size(); ++m) media[m].mus_per_mm *= factors[m];
  return media;
}

MediaChange change_to(const Media& nominal, const std::vector<double>& factors) {
  MediaChange change{.mua_per_mm = {}, .mus_factor = factors, .mus_per_mm = {}};
  for (const Medium& m : nominal) change.mus_per_mm.push_back(m.mus_per_mm);
  return change;
}

void expect_same_within(const base::Estimate& a, const base::Estimate& b, const std::string& what) {
  EXPECT_GT(a.value, 0) << what;
  EXPECT_NEAR(a.value, b.value, 3.5 * std::hypot(a.se, b.se))
      << what << ": " << a.value << " +- " << a.se << " and " << b.value << " +- " << b.se;
}

void expect_identical(const ReverseRays& a, const ReverseRays& b) {
  ASSERT_EQ(a.pieces.size(), b.pieces.size());
  for (std::size_t i = 0; i < a.pieces.size(); ++i) {
    EXPECT_EQ(a.pieces[i].r, b.pieces[i].r);
    EXPECT_EQ(a.pieces[i].u, b.pieces[i].u);
    EXPECT_EQ(a.pieces[i].w, b.pieces[i].w);
  }
  EXPECT_EQ(a.path_starts, b.path_starts);
  EXPECT_EQ(a.path_batch, b.path_batch);
  EXPECT_EQ(a.lengths_mm, b.lengths_mm);
  EXPECT_EQ(a.collisions, b.collisions);
  EXPECT_EQ(a.log_weights, b.log_weights);
  EXPECT_EQ(a.launched, b.launched);
  EXPECT_EQ(a.batches, b.batches);
}

// Bound: 3.5 combined standard errors on each of six draws, a false alarm once in 350; the seeds are fixed.
TEST(ScatteringWalks, DrawsAgreeWithRunsInTheirOwnMedia) {
  const Filling f = filling();
  const ReverseRays rays =
      run_reverse(f.scene, f.media,
                  {.cell = f.cell,
                   .paths = 24'000,
                   .seed = 61,
                   .mus_factors = {factors(0.75, 0.75), factors(1, 1), factors(1.25, 1.25), factors(0.75, 1.25)},
                   .walk_shares = {1, 2, 1, 1}},
                  kEverywhere);
  const Hits hits = find_hits(rays, f.tip);
  std::uint64_t seed = 62;
  for (const std::vector<double>& draw : {factors(1, 1), factors(0.75, 0.75), factors(1.25, 1.25), factors(0.85, 0.9),
                                          factors(1.15, 1.1), factors(0.8, 1.2)}) {
    const ReverseRays own =
        run_reverse(f.scene, scattering(f.media, draw), {.cell = f.cell, .paths = 24'000, .seed = seed++}, kEverywhere);
    const std::string what = "resin x " + std::to_string(draw[2]) + ", tooth x " + std::to_string(draw[3]);
    expect_same_within(reweighted(hits, change_to(f.media, draw)).fluence_per_mw, fluence_per_mw(find_hits(own, f.tip)),
                       what);
  }
  expect_same_within(fluence_per_mw(hits), reweighted(hits, MediaChange{}).fluence_per_mw, "nominal");
}

// Bound: 3.5 combined standard errors on each of four draws, a false alarm once in 500; the seeds are fixed. Absorption
// is drawn along with scattering.
TEST(ScatteringWalks, DrawsOfThirtyPercentAgreeWithLightFollowedForward) {
  const Filling f = filling();
  const ReverseRays rays = run_reverse(
      f.scene, f.media,
      {.cell = f.cell,
       .paths = 30'000,
       .seed = 71,
       .mus_factors = {factors(0.7, 0.7), factors(1.3, 0.7), factors(1, 1), factors(0.7, 1.3), factors(1.3, 1.3)}},
      kEverywhere);
  const Hits hits = find_hits(rays, f.tip);
  for (const std::vector<double>& draw : {factors(0.7, 0.7), factors(1.3, 0.7), factors(0.7, 1.3), factors(1.3, 1.3)}) {
    MediaChange change = change_to(f.media, draw);
    change.mua_per_mm = {0, 0, 0.05, -0.03};
    Media media = scattering(f.media, draw);
    for (std::size_t m = 0; m < media.size(); ++m) media[m].mua_per_mm += change.mua_per_mm[m];
    const base::Estimate there =
        run_forward(f.scene, media, f.tip, {.cells = {f.cell}, .photons = 30'000, .seed = 72}, kEverywhere)
            .fluence_per_mw[0];
    const std::string what = "resin x " + std::to_string(draw[2]) + ", tooth x " + std::to_string(draw[3]);
    expect_same_within(reweighted(hits, change).fluence_per_mw, there, what);
  }
}

TEST(ScatteringWalks, DrawsBetweenWalksKeepTheirEffectiveShare) {
  const Filling f = filling();
  const ReverseRays nominal = run_reverse(f.scene, f.media, {.cell = f.cell, .paths = 12'000, .seed = 81}, kEverywhere);
  const ReverseRays rays = run_reverse(
      f.scene, f.media,
      {.cell = f.cell, .paths = 12'000, .seed = 82, .mus_factors = {factors(0.875, 0.875), factors(1.125, 1.125)}},
      kEverywhere);
  const Hits hits = find_hits(rays, f.tip);
  for (const double x : {0.875, 0.94, 1.0, 1.06, 1.125}) {
    const Reweighted draw = reweighted(hits, change_to(f.media, factors(x, x)));
    EXPECT_GT(draw.effective_share, 0.3) << "scattering x " << x;
    EXPECT_NEAR(draw.effective_hits, draw.effective_share * static_cast<double>(hits.batch.size()), 1e-6);
  }
  // What it is for: from the nominal walk alone, a draw at a quarter more is worth little.
  const Hits nominal_hits = find_hits(nominal, f.tip);
  EXPECT_LT(reweighted(nominal_hits, change_to(f.media, factors(1.25, 1.25))).effective_share, 0.3);
}

TEST(ScatteringWalks, ManyDrawsTogetherAreEachWhatTheyAreAlone) {
  const Filling f = filling();
  const Hits hits = find_hits(
      run_reverse(f.scene, f.media,
                  {.cell = f.cell, .paths = 8000, .seed = 91, .mus_factors = {factors(0.7, 0.7), factors(1.3, 1.3)}},
                  kEverywhere),
      f.tip);
  std::vector<MediaChange> changes;
  for (const double x : {0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3}) changes.push_back(change_to(f.media, factors(x, 2 - x)));
  changes.emplace_back();
  const std::vector<Reweighted> together = reweighted(hits, changes);
  for (std::size_t d = 0; d < changes.size(); ++d) {
    const Reweighted alone = reweighted(hits, changes[d]);
    EXPECT_NEAR(together[d].fluence_per_mw.value, alone.fluence_per_mw.value, 3e-5 * alone.fluence_per_mw.value);
    EXPECT_NEAR(together[d].effective_share, alone.effective_share, 1e-3 * alone.effective_share);
  }
}

TEST(ScatteringWalks, TheNominalWalkGivesTheSameBitsNamedOrNot) {
  const Filling f = filling();
  const ReverseRays unnamed = run_reverse(f.scene, f.media, {.cell = f.cell, .paths = 3200}, kEverywhere);
  const ReverseRays named =
      run_reverse(f.scene, f.media, {.cell = f.cell, .paths = 3200, .mus_factors = {factors(1, 1)}}, kEverywhere);
  expect_identical(unnamed, named);
  EXPECT_TRUE(named.log_weights.empty());
}

TEST(ScatteringWalks, GiveTheSameBitsAtAnyNumberOfThreadsAndWhenExtended) {
  const Filling f = filling();
  ReverseInput input{.cell = f.cell,
                     .paths = 6400,
                     .seed = 101,
                     .stream = 3,
                     .mus_factors = {factors(0.8, 0.8), factors(1, 1), factors(1.2, 1.2)}};
  const ReverseRays one = run_reverse(f.scene, f.media, input, {.threads = 1});
  expect_identical(one, run_reverse(f.scene, f.media, input, {.threads = 3}));
  input.paths = 1600;
  input.batches = 8;
  ReverseRays grown = run_reverse(f.scene, f.media, input, kEverywhere);
  extend(grown, f.scene, f.media, 20, kEverywhere);
  extend(grown, f.scene, f.media, 4, kEverywhere);
  expect_identical(one, grown);
}

TEST(ScatteringWalks, EveryBatchHasTheSameSharesAndAllItsPaths) {
  const Media media = {air(), {.mus_per_mm = 5}};
  const ScatteringWalks walks = shared_out(media, {{1, 0.8}, {1, 1}, {1, 1.2}}, {1, 2, 1}, 1001);
  EXPECT_EQ(walks.per_batch, (std::vector<std::uint64_t>{250, 501, 250}));
  EXPECT_EQ(shared_out(media, {}, {}, 7).per_batch, (std::vector<std::uint64_t>{7}));
  EXPECT_EQ(shared_out(media, {{1, 1}, {1, 2}, {1, 3}}, {}, 2).per_batch, (std::vector<std::uint64_t>{1, 1, 0}));
}

TEST(ScatteringWalks, RefusesWhatCannotBeWalked) {
  const Media media = {air(), {.mus_per_mm = 5}};
  EXPECT_THROW(shared_out(media, {{1}}, {}, 100), base::Failure);
  EXPECT_THROW(shared_out(media, {{1, 0}}, {}, 100), base::Failure);
  EXPECT_THROW(shared_out(media, {{1, std::nan("")}}, {}, 100), base::Failure);
  EXPECT_THROW(shared_out(media, {{1, 1}}, {1, 1}, 100), base::Failure);
  EXPECT_THROW(shared_out(media, {{1, 1}}, {-1}, 100), base::Failure);
}

TEST(MixtureDensity, IsTheSumOverTheWalksAndNeverOverflows) {
  const Media media = {air(), {.mus_per_mm = 5}, {.mus_per_mm = 10}};
  const MixtureDensity density(shared_out(media, {{1, 0.8, 1.2}, {1, 1, 1}}, {1, 3}, 400));
  const std::vector<std::uint32_t> collisions = {0, 6, 9};
  const std::vector<double> lengths = {0, 1.5, 0.7};
  const double other = std::pow(0.8, 6) * std::exp(0.2 * 5 * 1.5) * std::pow(1.2, 9) * std::exp(-0.2 * 10 * 0.7);
  EXPECT_NEAR(density.log_over_nominal(collisions, lengths), std::log(0.25 * other + 0.75), 1e-13);

  const MixtureDensity far(shared_out(media, {{1, 0.1, 1}, {1, 10, 1}}, {}, 2));
  const double many = far.log_over_nominal(std::vector<std::uint32_t>{0, 60'000, 0}, std::vector<double>{0, 10, 0});
  EXPECT_NEAR(many, std::log(0.5) + 60'000 * std::log(10) - 9 * 5 * 10, 1e-6);
  const double few = far.log_over_nominal(std::vector<std::uint32_t>{0, 0, 0}, std::vector<double>{0, 9000, 0});
  EXPECT_NEAR(few, std::log(0.5) + 0.9 * 5 * 9000, 1e-6);
}

}  // namespace
}  // namespace throughcure::transport
