// How a resin comes by its absorption and scattering.
#include "throughcure/optics/medium.hpp"

#include <cmath>
#include <numeric>

#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

namespace throughcure::optics {
namespace {

ResinOptics resin() {
  Initiator blue{.id = "b", .name = "b", .short_name = "b", .molar_mass = {.value = 166.22}, .spectrum = {}};
  for (const auto& [nm, epsilon] : std::vector<std::pair<double, double>>{{405, 3}, {469, 46}, {515, 0}}) {
    blue.spectrum.push_back({nm, {.value = epsilon}});
  }
  ResinOptics made;
  made.n = {.value = 1.53};
  made.g = {.value = 0.8};
  made.scattering_blue_per_mm = {.value = 2};
  made.scattering_violet_per_mm = {.value = 2.4};
  made.rest_blue_per_mm = {.value = 0.03};
  made.rest_violet_per_mm = {.value = 0.2};
  made.resin_volume_fraction = {.value = 0.4};
  made.resin_density_g_ml = {.value = 1.15};
  made.initiators = {{blue, {.value = 0.5}}};
  return made;
}

TEST(Resin, IsRestPlusInitiatorsAndScattersByItsReducedCoefficient) {
  const ResinOptics r = resin();
  const ResinValues v = nominal(r);
  const auto shares = initiator_shares_per_mm(r, v, 469);
  ASSERT_EQ(shares.size(), 1U);
  // ln 10 * 46 L/mol/cm * (0.005 * 1150 / 166.22) mol/L * 0.4, in 1/mm.
  EXPECT_NEAR(shares[0], 2.302585093 * 46 * 5.75 / 166.22 * 0.4 / 10, 1e-9);
  const OpticalProperties whole = resin_properties(v, 469, shares);
  EXPECT_EQ(whole.n, 1.53);
  EXPECT_EQ(whole.g, 0.8);
  EXPECT_NEAR(whole.mua_per_mm, 0.03 + shares[0], 1e-12);
  EXPECT_NEAR(whole.mus_per_mm, 10, 1e-12);
  EXPECT_NEAR(reduced_scattering_per_mm(whole), 2, 1e-12);
  const std::vector<double> left = {0.25};
  EXPECT_NEAR(resin_properties(v, 469, shares, left).mua_per_mm, 0.03 + shares[0] / 4, 1e-12);
}

TEST(Resin, InABandTakesTheMeanThatItIsGiven) {
  const ResinOptics r = resin();
  const ResinValues v = nominal(r);
  const std::vector<double> twice = {2 * epsilon_at(r.initiators[0].initiator, 450)};
  EXPECT_NEAR(initiator_shares_per_mm(r, v, twice)[0], 2 * initiator_shares_per_mm(r, v, 450)[0], 1e-12);
}

TEST(Resin, ChangesStraightBetweenVioletAndBlueAndNotBeyond) {
  const VioletBlue c{1, 3};
  EXPECT_EQ(at_wavelength(c, 350), 1);
  EXPECT_EQ(at_wavelength(c, 405), 1);
  EXPECT_EQ(at_wavelength(c, 432.5), 2);
  EXPECT_EQ(at_wavelength(c, 460), 3);
  EXPECT_EQ(at_wavelength(c, 515), 3);
  EXPECT_NEAR(scattering_at_violet_per_mm(2, 1), 2 * 460.0 / 405, 1e-12);
  EXPECT_EQ(scattering_at_violet_per_mm(2, 0), 2);
}

RC_GTEST_PROP(Resin, NeverAbsorbsLessThanItsInitiatorsAndMoreWithMoreOfThem, ()) {
  const ResinOptics r = resin();
  ResinValues v = nominal(r);
  v.rest_per_mm = {*rc::gen::inRange(-5, 100) / 100.0, *rc::gen::inRange(-5, 100) / 100.0};
  v.resin_volume_fraction = *rc::gen::inRange(1, 101) / 100.0;
  v.mass_percent_of_resin = {*rc::gen::inRange(1, 300) / 100.0};
  const double nm = *rc::gen::inRange(385, 515);
  const auto shares = initiator_shares_per_mm(r, v, nm);
  const double mua = resin_properties(v, nm, shares).mua_per_mm;
  RC_ASSERT(mua >= std::accumulate(shares.begin(), shares.end(), 0.0));
  v.mass_percent_of_resin[0] *= 2;
  RC_ASSERT(resin_properties(v, nm, initiator_shares_per_mm(r, v, nm)).mua_per_mm > mua);
}

// Source: MCML manual section 6.4 (published): diffusion gives 0.57 cm as the depth of 1/e for mua 0.1, mus 100 per cm
// and g 0.9.
TEST(Diffusion, AgreesWithThePublishedDecay) {
  EXPECT_NEAR(1 / effective_attenuation_per_mm(0.01, 10 * 0.1), 5.7, 0.05);
}

RC_GTEST_PROP(Diffusion, AbsorptionAndAttenuationGoBothWays, ()) {
  const double mua = *rc::gen::inRange(1, 5000) / 1000.0;
  const double scattering = *rc::gen::inRange(0, 50000) / 1000.0;
  const double attenuation = effective_attenuation_per_mm(mua, scattering);
  RC_ASSERT(std::abs(absorption_for_attenuation_per_mm(attenuation, scattering) - mua) <= 1e-9 * mua);
}

TEST(Diffusion, NothingIsAttenuatedWithoutAbsorption) {
  EXPECT_EQ(effective_attenuation_per_mm(0, 2), 0);
  EXPECT_EQ(absorption_for_attenuation_per_mm(0, 2), 0);
  EXPECT_EQ(absorption_for_attenuation_per_mm(0, 0), 0);
}

}  // namespace
}  // namespace throughcure::optics
