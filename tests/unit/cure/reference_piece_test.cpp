// Light in the reference piece, against an exact formula, the slab, and the rough figures of the reference.
#include "throughcure/cure/reference_piece.hpp"

#include <algorithm>
#include <cmath>

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

/// As good as one direction.
constexpr optics::AngularShape kCollimated{.core_exponent = 1e9, .tail_exponent = 0, .tail_share = 0};

double relative_se(const ResinTable& table) {
  return *std::max_element(table.relative_se.begin(), table.relative_se.end());
}

// Without scattering, collimated light that has entered falls off by Beer and Lambert and is gone at the floor: exact.
TEST(ReferencePiece, AClearLayerIsExact) {
  const ReferenceForm form{.from_mm = 0.2, .to_mm = 0.5};
  const ResinTable table =
      simulate_reference(form, {.mua_per_mm = {0.5, 1}, .reduced_scattering_per_mm = {1e-12, 2e-12}, .n = 1.53},
                         kCollimated, 64, 1, both());
  for (const double mua : {0.5, 1.0}) {
    const double entered = 1 - transport::fresnel(1, 1.53, 1).reflectance;
    // Some packets are reflected at the surface: 64 of them cannot show the share, so the mean over those that entered.
    const double exact = (std::exp(-0.2 * mua) - std::exp(-0.5 * mua)) / (0.3 * mua);
    EXPECT_NEAR(value_at(table, mua, 1e-12) / exact, entered, 4 * std::sqrt(entered * (1 - entered) / 64));
  }
  const double slope = std::log(value_at(table, 0.5, 1e-12) / value_at(table, 1, 1e-12));
  const double exact = std::log(2 * (std::exp(-0.1) - std::exp(-0.25)) / (std::exp(-0.2) - std::exp(-0.5)));
  EXPECT_NEAR(slope, exact, 1e-6);
}

// The slab is checked against published tables (transport's tests); here it gives the fluence as absorption by depth
// over mua. Ten comparisons within 3.5 combined standard errors: one false alarm in some 200 seeds.
TEST(ReferencePiece, IsTheSlabUnderCollimatedLight) {
  const ResinGrid grid{.mua_per_mm = {0.05, 0.1, 0.2, 0.4, 0.8}, .reduced_scattering_per_mm = {0.5, 3}};
  const ResinTable table = simulate_reference({}, grid, kCollimated, 6'000, 2, both());
  for (std::size_t s = 0; s < 2; ++s) {
    for (std::size_t k = 0; k < grid.mua_per_mm.size(); ++k) {
      const double mua = grid.mua_per_mm[k];
      const transport::SlabInput input{.layers = {{.mua_per_mm = mua,
                                                   .mus_per_mm = grid.reduced_scattering_per_mm[s] / (1 - grid.g),
                                                   .g = grid.g,
                                                   .n = grid.n,
                                                   .thickness_mm = 10}},
                                       .n_below = grid.n,
                                       .photons = 6'000,
                                       .seed = 3 + k,
                                       .depth_bin_mm = 0.1,
                                       .depth_bins = 5};
      const transport::SlabResult slab = run_slab(input, both());
      double absorbed = 0;
      double se = 0;  // neighbouring bins go together: their errors add
      for (std::size_t bin = 2; bin < 5; ++bin) {
        absorbed += slab.absorbed_per_mm[bin].value / 3;
        se += slab.absorbed_per_mm[bin].se / 3;
      }
      const double ours = value_at(table, mua, grid.reduced_scattering_per_mm[s]);
      const double ours_se = ours * table.relative_se[s * grid.mua_per_mm.size() + k];
      EXPECT_NEAR(ours, absorbed / mua, 3.5 * std::hypot(se / mua, ours_se)) << mua << " " << s;
    }
  }
}

// Source: cure reference, section 7.6 (fluence / exitance 0.1 mm deep in a wide, flat, stair-stepped scene, n 1.53,
// 9 mm tip, half-angle 20 deg; rough figures, kind: computed there). Its figures are printed to two digits by an engine
// that calls itself rough, and a tip of 9 mm is not quite wide: 20 % is the room they are given.
TEST(ReferencePiece, AgreesWithRoughFiguresJustUnderTheSurface) {
  const ResinTable table =
      simulate_reference({.from_mm = 0.05, .to_mm = 0.15},
                         {.mua_per_mm = {0.05, 0.1, 0.2, 0.3}, .reduced_scattering_per_mm = {1, 2, 3}, .n = 1.53},
                         optics::shape_of_half_angle(20, 0), 6'000, 4, both());
  EXPECT_LT(relative_se(table), 0.02);
  const struct {
    double scattering, mua, ratio;
  } rows[] = {{1, 0.05, 3.5}, {1, 0.1, 3.0}, {2, 0.1, 4.0}, {2, 0.2, 3.1}, {3, 0.3, 3.1}};
  for (const auto& row : rows) {
    EXPECT_NEAR(value_at(table, row.mua, row.scattering) / row.ratio, 1, 0.2) << row.scattering << " " << row.mua;
  }
}

TEST(ReferencePiece, OfAMaterialFollowsItsDraws) {
  const DrawSource& source = invented::paste();
  const ReferenceOf reference = reference_piece_of_material(source, usual_test_light(), {.photons = 2000}, both());
  Draw draw = prior_draw(source, 1, 0);
  const double middle = reference(draw);
  EXPECT_GT(middle, 1);
  EXPECT_LT(middle, 6);
  draw.absorption_factor = {1.5 * draw.absorption_factor.violet, 1.5 * draw.absorption_factor.blue};
  EXPECT_LT(reference(draw), middle);
}

TEST(ReferencePiece, GetsTheCriterionsRadiantExposure) {
  const ReferenceLight light = reference_light(invented::paste().priors.criterion, 3.5);
  EXPECT_NEAR(light.phi_mw_cm2, 3500, 1e-9);
  EXPECT_NEAR(light.seconds, 24, 1e-9);
}

}  // namespace
}  // namespace throughcure::cure
