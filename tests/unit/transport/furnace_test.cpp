// Closed cases with known answers: the white furnace, the ledger, a source in empty space.
#include <algorithm>
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "support/random_optics.hpp"
#include "throughcure/transport/forward.hpp"
#include "throughcure/transport/response.hpp"
#include "throughcure/transport/reverse.hpp"

namespace throughcure::transport {
namespace {

using std::numbers::pi;

const base::Running& everywhere() {
  static const base::Running running{.threads = base::hardware_threads()};
  return running;
}

/// Random media that keep all light: no absorption, metal that sends back everything. All scatter: in a clear body
/// light that is totally reflected would run for ever.
Media lossless(const anatomy::Scene& scene, base::Stream& random) {
  Media media = tests::random_media(scene, random);
  for (Medium& m : media) {
    m.mua_per_mm = 0;
    if (m.kind == MediumKind::turbid) m.mus_per_mm = std::max(0.5, m.mus_per_mm);
    if (m.kind == MediumKind::metal) m.reflectance = 1;
  }
  return media;
}

/// A cell of radius `radius_mm` with room around it in a solid that is not metal; false when none was found.
bool place_cell(const anatomy::Scene& scene, const Media& media, double radius_mm, base::Stream& random, Cell& cell) {
  for (int attempt = 0; attempt < 2000; ++attempt) {
    const base::Point p{6 * random.uniform() - 3, 6 * random.uniform() - 3, 6 * random.uniform() - 3};
    const std::uint32_t solid = scene.solid_at(p);
    if (media[scene.medium_of(solid)].kind != MediumKind::turbid) continue;
    if (clearance_about(scene, solid, p) < radius_mm) continue;
    cell = {p, radius_mm};
    return true;
  }
  return false;
}

/// Calls `look(id, scene, media, cell)` for each lossless scene that has room for a cell of that radius; how many had.
template <class Look>
int for_each_furnace(std::uint64_t key, std::uint64_t scenes, double radius_mm, const Look& look) {
  int furnaces = 0;
  for (std::uint64_t id = 0; id < scenes; ++id) {
    base::Stream random(key, 0, id);
    const anatomy::Scene scene = tests::random_scene(random);
    const Media media = lossless(scene, random);
    Cell cell;
    if (!place_cell(scene, media, radius_mm, random, cell)) continue;
    ++furnaces;
    look(id, scene, media, cell);
  }
  return furnaces;
}

// Identity: in a furnace whose radiance is 1 everywhere outside, nothing absorbing, the fluence rate inside is 4 pi
// n^2. Backwards it holds path by path: every path must come out with the weight it started with.
TEST(WhiteFurnace, EveryReversePathComesOutWhole) {
  const auto look = [&](std::uint64_t id, const anatomy::Scene& scene, const Media& media, const Cell& cell) {
    const ReverseRays rays = run_reverse(scene, media, {.cell = cell, .paths = 3200, .seed = id}, everywhere());
    double out = 0;
    for (std::size_t p = 0; p < rays.paths(); ++p) {
      const AirPiece& last = rays.pieces[rays.path_starts[p + 1] - 1];
      if (std::isinf(last.length_mm)) out += static_cast<double>(last.w);
    }
    EXPECT_NEAR(out / static_cast<double>(rays.launched), 1, 1e-6) << "scene " << id;
    EXPECT_EQ(rays.lost, 0);
  };
  EXPECT_GT(for_each_furnace(31, 30, 0.1, look), 15);
}

// The same furnace forwards: light enters from all sides by Lambert's law through a sphere of radius R, which carries
// pi 4 pi R^2 of power at radiance 1. Bound: 4 standard errors on each of some 15 scenes, a false alarm once in 1000.
TEST(WhiteFurnace, ForwardFluenceIsFourPiNSquared) {
  constexpr double radius = 10;
  const Starter furnace = [](base::Stream& random) {
    const base::Direction out = isotropic(random.uniform(), random.uniform());
    return Start{base::Point{} + out * radius, lambertian(-out, random.uniform(), random.uniform())};
  };
  const auto look = [&](std::uint64_t id, const anatomy::Scene& scene, const Media& media, const Cell& cell) {
    const ForwardResult r =
        run_forward(scene, media, furnace, {.cells = {cell}, .photons = 300'000, .seed = id}, everywhere());
    const double power = pi * 4 * pi * radius * radius;
    const double n = media[scene.medium_at(cell.centre)].n;
    const base::Estimate phi{r.fluence_per_mw[0].value * power, r.fluence_per_mw[0].se * power};
    EXPECT_NEAR(phi.value, 4 * pi * n * n, 4 * phi.se) << "scene " << id << ", se " << phi.se;
    EXPECT_LT(phi.se, 0.1 * 4 * pi * n * n);
    EXPECT_LT(r.unaccounted, 1e-10);
    EXPECT_EQ(r.lost, 0);
  };
  EXPECT_GT(for_each_furnace(32, 16, 0.4, look), 8);
}

// The grid must hold the same light as the ball in its middle.
TEST(WhiteFurnace, GridAgrees) {
  anatomy::SceneBuilder builder("air");
  builder.add(builder.medium("glass"), {anatomy::ellipsoid({0, 0, 0}, {3, 3, 3})});
  const Media media = {air(), {.n = 1.5, .mus_per_mm = 1, .g = 0.5}};
  const Starter furnace = [](base::Stream& random) {
    const base::Direction out = isotropic(random.uniform(), random.uniform());
    return Start{base::Point{} + out * 5, lambertian(-out, random.uniform(), random.uniform())};
  };
  ForwardInput input{.photons = 200'000, .seed = 3};
  input.grid = {{-1.5, -1.5, -1.5}, 1, {3, 3, 3}};
  const ForwardResult r = run_forward(builder.scene(), media, furnace, input, everywhere());
  double mean = 0;
  for (const float f : r.grid_fluence_per_mw) mean += static_cast<double>(f) / 27;
  EXPECT_NEAR(mean * pi * 4 * pi * 25 / (4 * pi * 1.5 * 1.5), 1, 0.01);
}

// Identity: absorbed + escaped + to the tip + roulette losses - gains = launched; net roulette zero within 3 standard
// errors (a false alarm once in 370 a scene; the seeds are fixed).
TEST(Ledger, EveryUnitOfWeightIsAccountedFor) {
  for (std::uint64_t id = 0; id < 12; ++id) {
    base::Stream random(33, 0, id);
    const anatomy::Scene scene = tests::random_scene(random);
    Media media = tests::random_media(scene, random);
    for (std::size_t m = 1; m < media.size(); ++m) media[m].mua_per_mm *= 20;
    const PosedTip tip = tests::random_tip(random);
    const ForwardResult r = run_forward(scene, media, tip, {.photons = 20'000, .seed = id}, everywhere());
    EXPECT_LT(r.unaccounted, 1e-10);
    EXPECT_LE(std::abs(r.roulette.value), 3 * r.roulette.se + 1e-300);
    EXPECT_EQ(r.lost, 0);
    const ForwardResult again = run_forward(scene, media, tip, {.photons = 20'000, .seed = id}, {.threads = 1});
    EXPECT_EQ(r.escaped.value, again.escaped.value) << "the answer must not depend on the threads";
  }
}

// Fluence under a known source in empty space: a Lambertian disc of radiance L fills, seen from its axis at distance z,
// the solid angle 2 pi (1 - cos a), tan a = R / z, so phi = L 2 pi (1 - cos a), L = 1 / (pi A). Handbook; kind:
// identity.
TEST(Source, FluenceUnderALambertianDisc) {
  const anatomy::Scene scene = anatomy::SceneBuilder("air").scene();
  const Media media = {air()};
  const double r_tip = 4;
  const PosedTip tip =
      posed(optics::tip_source(optics::tip_map(optics::UniformDisc{}, 2 * r_tip), optics::AngularShape{}), {0, 0, 0},
            {0, 0, 1});
  for (const double z : {1.0, 4.0, 10.0}) {
    const double solid_angle = 2 * pi * (1 - z / std::hypot(z, r_tip));
    const double expected = solid_angle / (pi * pi * r_tip * r_tip);
    const Cell cell{{0, 0, z}, 0.02};
    const ReverseRays rays = run_reverse(scene, media, {.cell = cell, .paths = 400'000, .seed = 5}, everywhere());
    const base::Estimate back = fluence_per_mw(rays, tip);
    EXPECT_NEAR(back.value, expected, 4 * back.se + 1e-4 * expected);
    EXPECT_LT(back.se, 0.01 * expected);
    const ForwardResult forward =
        run_forward(scene, media, tip, {.cells = {{{0, 0, z}, 0.5}}, .photons = 200'000, .seed = 6}, everywhere());
    // The larger ball sees the mean over its depth, within a fraction of a percent of the middle here.
    EXPECT_NEAR(forward.fluence_per_mw[0].value, expected, 4 * forward.fluence_per_mw[0].se + 0.01 * expected);
  }
}

}  // namespace
}  // namespace throughcure::transport
