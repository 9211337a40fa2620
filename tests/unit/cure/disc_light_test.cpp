// Light through a disc, against published slabs, the slab's own run, exact limits, and published discs of composite.
#include "throughcure/cure/disc_light.hpp"

#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "throughcure/transport/optics_laws.hpp"
#include "throughcure/transport/slab.hpp"
#include "unit/cure/invented_paste.hpp"

namespace throughcure::cure {
namespace {

const base::Running& both() {
  static const base::Running running{.threads = base::hardware_threads()};
  return running;
}

// Source: van de Hulst 1980 as in table 6.1 of the manual of MCML, Wang and Jacques 1992 (published): n 1, mua 10 and
// mus 90 per cm, g 0.75, 0.2 mm: total transmittance 0.66096. Within 3.5 standard errors: one false alarm in 2000
// seeds.
TEST(Disc, AWideOneInASphereIsThePublishedSlab) {
  const ResinGrid grid{.mua_per_mm = {0.5, 1}, .reduced_scattering_per_mm = {9 * 0.25, 3}, .n = 1, .g = 0.75};
  const ResinTable table =
      simulate_disc({.thickness_mm = 0.2, .diameter_mm = 40}, grid, ThinBeam{}, 100'000, 1, both());
  EXPECT_NEAR(value_at(table, 1, 9 * 0.25), 0.66096, 3.5 * 0.66096 * table.relative_se[1]);
}

// As a paste: the slab is checked against published tables in transport's tests. Six comparisons within 3.5 combined
// standard errors: one false alarm in 350 seeds.
TEST(Disc, AWideOneInASphereIsTheSlab) {
  const ResinGrid grid{.mua_per_mm = {0.05, 0.15, 0.4}, .reduced_scattering_per_mm = {0.8, 2.5}};
  const ResinTable table = simulate_disc({.thickness_mm = 1.5, .diameter_mm = 60}, grid, ThinBeam{}, 20'000, 2, both());
  for (std::size_t s = 0; s < 2; ++s) {
    for (std::size_t k = 0; k < 3; ++k) {
      const double scattering = grid.reduced_scattering_per_mm[s];
      const transport::SlabResult slab = transport::run_slab({.layers = {{.mua_per_mm = grid.mua_per_mm[k],
                                                                          .mus_per_mm = scattering / (1 - grid.g),
                                                                          .g = grid.g,
                                                                          .n = grid.n,
                                                                          .thickness_mm = 1.5}},
                                                              .photons = 20'000,
                                                              .seed = 5},
                                                             both());
      const double ours = value_at(table, grid.mua_per_mm[k], scattering);
      EXPECT_NEAR(ours, slab.Tt.value, 3.5 * std::hypot(slab.Tt.se, ours * table.relative_se[s * 3 + k]));
    }
  }
}

// Hardly any scattering: what enters, less what is absorbed on the straight way, and again at the far face; light that
// is sent back and forth between the faces adds the geometric series. Exact for normal incidence.
TEST(Disc, AClearOneIsExact) {
  const ResinGrid grid{.mua_per_mm = {0.2, 0.5}, .reduced_scattering_per_mm = {1e-9, 2e-9}};
  const ResinTable table =
      simulate_disc({.thickness_mm = 2, .detector = IrradianceSensor{.aperture_mm = 3, .gap_mm = 5}}, grid, ThinBeam{},
                    40'000, 3, both());
  const double r = transport::fresnel(1, grid.n, 1).reflectance;
  for (std::size_t k = 0; k < 2; ++k) {
    const double a = std::exp(-2 * grid.mua_per_mm[k]);
    const double exact = (1 - r) * (1 - r) * a / (1 - r * r * a * a);
    EXPECT_NEAR(value_at(table, grid.mua_per_mm[k], 1e-9), exact, 3.5 * exact * table.relative_se[k]);
  }
}

// What the header says of detectors: a small sensor far away sees less of diffuse light, a sphere sees all of it; but
// of the light of a tip it misses much without the disc too.
TEST(Disc, TheDetectorCountsAsMuchAsThePaste) {
  const ResinGrid grid{.mua_per_mm = {0.1, 0.2}, .reduced_scattering_per_mm = {1, 2}};
  const auto through = [&](const Detector& detector, const DiscLighting& lighting) {
    return value_at(
        simulate_disc({.thickness_mm = 2, .diameter_mm = 10, .detector = detector}, grid, lighting, 10'000, 4, both()),
        0.15, 1.5);
  };
  const optics::TipSource tip = optics::tip_source(usual_test_light());
  EXPECT_LT(through(IrradianceSensor{.aperture_mm = 4, .gap_mm = 10}, ThinBeam{}), 0.2 * through({}, ThinBeam{}));
  EXPECT_GT(through({}, tip), through(IrradianceSensor{.aperture_mm = 4, .gap_mm = 10}, tip));
  EXPECT_LT(through({}, tip), 1);
}

TEST(Disc, OfAMaterialFallsWithItsAbsorptionAndThickness) {
  const DrawSource& source = invented::paste();
  const optics::Light light = usual_test_light();
  DiscTransmission test{.fraction = 0.1, .thickness_mm = 2, .diameter_mm = 8};
  const MouldEffort effort{.photons = 4000};
  const DiscReadingOf two = disc_of_material(source, test, &light, effort, both());
  test.thickness_mm = 3;
  const DiscReadingOf three = disc_of_material(source, test, &light, effort, both());
  test.thickness_mm = 2;
  test.wavelength_nm = 468;
  const DiscReadingOf spectrometer = disc_of_material(source, test, nullptr, effort, both());
  Draw draw = prior_draw(source, 1, 0);
  EXPECT_GT(two(draw), 1.3 * three(draw));
  EXPECT_GT(spectrometer(draw), 0);
  const double before = two(draw);
  draw.absorption_factor.blue *= 1.5;
  EXPECT_LT(two(draw), before);
}

}  // namespace
}  // namespace throughcure::cure
