// What an initiator absorbs, and how it is used up.
#include "throughcure/optics/initiator.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include "support/test_initiator.hpp"
#include "throughcure/optics/photons.hpp"

namespace throughcure::optics {
namespace {

using tests::initiator;

double mean(const Initiator& i, const std::vector<double>& nm, const std::vector<double>& power, double from,
            double to) {
  return mean_epsilon(i, {nm, power}, from, to);
}

// Source: reference table "photons per joule" (computed there from lambda / (h c N_A)), three decimals.
TEST(Photons, PerJouleAgreeWithTheComputedTable) {
  EXPECT_NEAR(photons_mol_per_j(405) * 1e6, 3.386, 5e-4);
  EXPECT_NEAR(photons_mol_per_j(450) * 1e6, 3.762, 5e-4);
  EXPECT_NEAR(photons_mol_per_j(469) * 1e6, 3.921, 5e-4);
  EXPECT_NEAR(photons_mol_per_j(470) * 1e6, 3.929, 5e-4);
}

TEST(Epsilon, IsAStraightLineBetweenItsPointsAndHoldsOutside) {
  const Initiator i = initiator({{400, 10}, {420, 30}, {500, 0}});
  EXPECT_DOUBLE_EQ(epsilon_at(i, 390), 10);
  EXPECT_DOUBLE_EQ(epsilon_at(i, 405), 15);
  EXPECT_DOUBLE_EQ(epsilon_at(i, 420), 30);
  EXPECT_DOUBLE_EQ(epsilon_at(i, 460), 15);
  EXPECT_DOUBLE_EQ(epsilon_at(i, 600), 0);
}

TEST(MeanEpsilon, IsExactForStraightLines) {
  // epsilon = (nm - 400), emitter 1 at 400 to 3 at 500: integral x (1 + x/50) / integral (1 + x/50) over [0, 100].
  const Initiator i = initiator({{400, 0}, {500, 100}});
  EXPECT_NEAR(mean(i, {400, 500}, {1, 3}, 400, 500), (5000.0 + 1e6 / 150) / 200, 1e-10);
}

TEST(MeanEpsilon, FollowsANarrowEmitterAndFallsBackToThePlainMeanInTheDark) {
  const Initiator i = initiator({{400, 0}, {500, 100}});
  EXPECT_NEAR(mean(i, {449, 450, 451}, {0, 1, 0}, 425, 515), 50, 1e-9);
  EXPECT_NEAR(mean(i, {600, 700}, {1, 1}, 420, 460), 40, 1e-9);
  // An emitter that ends sharply inside the band: nothing of the band beyond its last point counts.
  EXPECT_NEAR(mean(i, {400, 450}, {1, 1}, 400, 500), 25, 1e-9);
}

RC_GTEST_PROP(MeanEpsilon, LiesBetweenTheLeastAndTheMostOfItsBand, ()) {
  const auto level = [] { return *rc::gen::inRange(0, 1000); };
  const Initiator i = initiator({{390, level()}, {430, level()}, {460, level()}, {505, level()}});
  std::vector<double> power(5);
  for (double& each : power) each = level();
  const double from = *rc::gen::inRange(385, 450);
  const double to = from + *rc::gen::inRange(1, 60);
  double least = 1e9;
  double most = 0;
  for (int step = 0; step <= 4 * static_cast<int>(to - from); ++step) {
    const double nm = from + step * 0.25;
    least = std::min(least, epsilon_at(i, nm));
    most = std::max(most, epsilon_at(i, nm));
  }
  const double found = mean(i, {380, 410, 440, 470, 520}, power, from, to);
  RC_ASSERT(found >= least - 1e-6);
  RC_ASSERT(found <= most + 1e-6);
}

TEST(Absorption, DecadicAndNapierianDifferByLnTen) {
  const double decadic = initiator_absorption_per_mm(AbsorptionReading::kDecadic, 46, 0.048, 0.5);
  EXPECT_NEAR(decadic, std::numbers::ln10 * 46 * 0.048 * 0.5 / 10, 1e-12);
  EXPECT_NEAR(decadic / initiator_absorption_per_mm(AbsorptionReading::kNapierian, 46, 0.048, 0.5), std::numbers::ln10,
              1e-12);
}

TEST(Absorption, OfAMolePerLitreIsItsDecadicDefinition) {
  // One centimetre of a solution with epsilon c = 1 per cm lets a tenth through.
  const double per_mm = initiator_absorption_per_mm(AbsorptionReading::kDecadic, 100, 0.01, 1);
  EXPECT_NEAR(std::exp(-per_mm * 10), 0.1, 1e-12);
}

// Source: Chen, Ferracane, Prahl 2007 (published): quantum yield 0.07 and epsilon 46 at 469 nm; the constants 0.029 and
// 0.013 cm2/J and the 1/e fluences 34 and 79 J/cm2 are derived from them in the reference.
TEST(Bleaching, OfCamphorquinoneAgreesWithTheDerivedConstants) {
  const double decadic = bleaching_cm2_per_j(AbsorptionReading::kDecadic, 0.07, 46, 469);
  const double napierian = bleaching_cm2_per_j(AbsorptionReading::kNapierian, 0.07, 46, 469);
  EXPECT_NEAR(decadic, 0.029, 5e-4);
  EXPECT_NEAR(napierian, 0.013, 5e-4);
  EXPECT_NEAR(1 / decadic, 34, 0.5);
  EXPECT_NEAR(1 / napierian, 79, 0.5);
  EXPECT_NEAR(share_left(decadic, 7.7), 0.80, 0.005);
  EXPECT_EQ(share_left(decadic, 0), 1);
}

}  // namespace
}  // namespace throughcure::optics
