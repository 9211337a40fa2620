// The rate law and its two solutions: identities, bounds, and the published figures that it must meet.
#include "throughcure/cure/kinetics.hpp"

#include <cmath>
#include <limits>

#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include "throughcure/cure/conversion_curve.hpp"
#include "throughcure/exchange/reference_cure.hpp"

namespace throughcure::cure {
namespace {

double between(double low, double high) { return low + (high - low) * *rc::gen::inRange(0, 1'000'001) / 1e6; }

RateLaw paste() {
  static const Priors priors = exchange::reference_cure();
  return nominal_law(priors, MaterialClass::kPaste);
}

RateLaw without_bleaching(RateLaw law) {
  law.bleaching_cm2_per_j = 0;
  return law;
}

// Any law within the priors, and somewhat beyond.
RateLaw any_law() {
  RateLaw law = paste();
  law.p = between(0.4, 1);
  law.k_ref_per_s = between(0.03, 0.6);
  law.b = between(0, 10);
  law.q = between(1, 3);
  law.limit = between(0.4, 0.8);
  law.activation_kj_mol = between(0, 25);
  law.bleaching_cm2_per_j = between(0, 0.06);
  law.induction_j_cm2 = between(0, 0.3);
  law.dark.gain = between(0.01, 0.15);
  law.dark.gel = between(0.05, 0.25);
  return law;
}

double light_only(const RateLaw& law, double temperature_c, double phi, double seconds, const CellState& from = {}) {
  return expose(law, ConversionCurve(law, temperature_c), temperature_c, from, phi, {{1, seconds}}).x;
}

RC_GTEST_PROP(Curve, SolvesTheLawAndItsInverseUndoesIt, ()) {
  const RateLaw law = any_law();
  const double temperature = between(5, 60);
  const ConversionCurve curve(law, temperature);
  const double x = between(1e-7, 0.99) * curve.limit();
  const double v = progress_to_reach(law, temperature, x);  // the closed integral, by quadrature
  RC_ASSERT(std::abs(curve.at(v) - x) < 5e-6);
  RC_ASSERT(std::abs(std::log(curve.inverse(x) / v)) < 5e-6);
}

RC_GTEST_PROP(Curve, RisesWithProgressAndStaysBelowTheLimit, ()) {
  const RateLaw law = any_law();
  const ConversionCurve curve(law, 37);
  const double v = std::exp(between(-16, 14));
  RC_ASSERT(curve.at(v) > 0);
  RC_ASSERT(curve.at(v) <= curve.limit());
  RC_ASSERT(curve.at(v * between(1.0001, 3)) >= curve.at(v) - 1e-13);  // rounding
}

TEST(Curve, AtTheEnds) {
  const ConversionCurve curve(paste(), 37);
  EXPECT_EQ(curve.at(0), 0);
  EXPECT_EQ(curve.inverse(0), 0);
  EXPECT_EQ(curve.at(std::numeric_limits<double>::infinity()), curve.limit());
  EXPECT_TRUE(std::isinf(curve.inverse(curve.limit())));
}

// For q = 2 the integral is elementary: partial fractions of 1 / ((1 + b X)(1 - X/L)^2).
TEST(Curve, AgreesWithThePartialFractionsOfASquare) {
  const RateLaw law = paste();
  ASSERT_EQ(law.q, 2);
  const ConversionCurve curve(law, 37);
  const double beta = law.b * curve.limit();
  for (const double y : {0.001, 0.1, 0.3, 0.6, 0.9, 0.99, 0.999}) {
    const double w = (beta * std::log((1 + beta * y) / (1 - y)) / (1 + beta) + y / (1 - y)) / (1 + beta);
    EXPECT_NEAR(curve.at(curve.limit() * w), curve.limit() * y, 1e-6) << y;
  }
}

// The slow path is the law itself, stepped; the fast path its closed solution.
RC_GTEST_PROP(SlowPath, AgreesWithTheFastOne, ()) {
  const RateLaw law = any_law();
  const double temperature = between(20, 45);
  const double phi = std::exp(between(std::log(1.0), std::log(4000.0)));
  const double seconds = 20;
  CellState slow;
  for (int i = 0; i < 400; ++i) slow = step(law, slow, phi, temperature, seconds / 400);
  RC_ASSERT(std::abs(slow.x - light_only(law, temperature, phi, seconds)) < 1e-4);
  RC_ASSERT(std::abs(slow.fluence_j_cm2 - phi * seconds * 1e-3) < 1e-9);
}

RC_GTEST_PROP(Cure, NoLightGivesNoConversionHoweverLong, ()) {
  const RateLaw law = any_law();
  const ConversionCurve curve(law, 37);
  const CellState dark = expose(law, curve, 37, {}, 0, {{1, 40}}, 1e5);
  RC_ASSERT(dark.x == 0);
  RC_ASSERT(after_dark(law.dark, dark.x, kDay_s) == 0);
  RC_ASSERT(step(law, {}, 0, 37, 40).x == 0);
}

RC_GTEST_PROP(Cure, SplittingAnExposureWithoutAPauseChangesNothing, ()) {
  const RateLaw law = any_law();
  const ConversionCurve curve(law, 37);
  const double phi = std::exp(between(0, 8));
  const double first = between(0, 20);
  const CellState whole = expose(law, curve, 37, {}, phi, {{1, 20}});
  const CellState half = expose(law, curve, 37, {}, phi, {{1, first}});
  const CellState both = expose(law, curve, 37, half, phi, {{1, 20 - first}});
  RC_ASSERT(std::abs(both.x - whole.x) < 1e-5);  // twice the table's error
  RC_ASSERT(std::abs(both.fluence_j_cm2 - whole.fluence_j_cm2) < 1e-9);
}

RC_GTEST_PROP(Cure, RisesWithTimeAndStaysBelowTheLimit, ()) {
  const RateLaw law = any_law();
  const double phi = std::exp(between(0, 8));
  const double seconds = between(1, 60);
  const double x = light_only(law, 37, phi, seconds);
  RC_ASSERT(x >= 0);
  RC_ASSERT(x <= limit_at(law, 37));
  RC_ASSERT(light_only(law, 37, phi, seconds * 1.5) >= x - 1e-13);  // rounding
  // More light at the same time can only do less where it bleaches: without bleaching it does more.
  const RateLaw steady = without_bleaching(law);
  RC_ASSERT(light_only(steady, 37, phi * 1.5, seconds) >= light_only(steady, 37, phi, seconds) - 1e-13);
}

// Twice the light for half the time does the same only if p = 1; else it takes t 2^-p. Identity of the law without
// bleaching and induction.
RC_GTEST_PROP(Cure, ReciprocityHoldsOnlyForAnExponentOfOne, ()) {
  RateLaw law = without_bleaching(any_law());
  law.induction_j_cm2 = 0;
  const double phi = 100;
  const double seconds = between(2, 20);
  const double x = light_only(law, 37, phi, seconds);
  RC_ASSERT(std::abs(light_only(law, 37, 2 * phi, seconds * std::pow(2, -law.p)) - x) < 1e-5);
  RC_PRE(x > 0.01 && x < 0.9 * law.limit && law.p < 0.95);
  RC_ASSERT(light_only(law, 37, 2 * phi, seconds / 2) < x - 2e-5);
  law.p = 1;
  RC_ASSERT(std::abs(light_only(law, 37, 2 * phi, seconds / 2) - light_only(law, 37, phi, seconds)) < 1e-5);
}

RC_GTEST_PROP(DarkCure, NeverFallsAndNeverPassesItsEnd, ()) {
  const RateLaw law = any_law();
  const double x = between(0, law.dark.final);
  const double wait = std::exp(between(0, std::log(kDay_s)));
  const double later = after_dark(law.dark, x, wait);
  RC_ASSERT(later >= x);
  RC_ASSERT(later <= law.dark.final + 1e-12);
  RC_ASSERT(later - x <= law.dark.gain + 1e-12);
  RC_ASSERT(after_dark(law.dark, x, 2 * wait) >= later);
  // What cured further under the light is not overtaken in the dark.
  RC_ASSERT(after_dark(law.dark, between(x, law.dark.final), wait) >= later - 1e-12);
}

TEST(DarkCure, IsFullAtGelationAndVanishesAtTheEnd) {
  const DarkCure dark = paste().dark;
  EXPECT_EQ(after_dark(dark, 0, kDay_s), 0);
  EXPECT_NEAR(after_dark(dark, dark.gel, kDay_s), dark.gel + dark.gain, 1e-12);
  EXPECT_NEAR(after_dark(dark, dark.gel / 2, kDay_s), dark.gel / 2 + dark.gain / 2, 1e-12);
  EXPECT_EQ(after_dark(dark, dark.final, kDay_s), dark.final);
}

TEST(DarkCure, APauseCountsAndTheNextExposureGoesOnFromThere) {
  const RateLaw law = paste();
  const ConversionCurve curve(law, 37);
  const CellState first = expose(law, curve, 37, {}, 300, {{1, 5}});
  const CellState at_once = expose(law, curve, 37, first, 300, {{1, 5}});
  const CellState later = expose(law, curve, 37, first, 300, {{1, 5}}, 120);
  EXPECT_GT(later.x, at_once.x);
  EXPECT_LT(later.x, after_dark(law.dark, at_once.x, 120) + law.dark.gain);
  const CellState only_waited = expose(law, curve, 37, first, 0, {}, 120);
  EXPECT_DOUBLE_EQ(only_waited.x, after_dark(law.dark, first.x, 120));
}

TEST(Cure, HotterIsFasterAndEndsHigher) {
  const RateLaw law = paste();
  EXPECT_NEAR(arrhenius(law, law.reference_temperature_c), 1, 1e-15);
  // exp(-12000/8.314462618 * (1/296.15 - 1/310.15)): arithmetic.
  EXPECT_NEAR(arrhenius(law, 23), 0.8025, 1e-4);
  EXPECT_NEAR(limit_at(law, 23), 0.62 - 14 * 0.003, 1e-12);
  EXPECT_GT(light_only(law, 37, 200, 10), light_only(law, 23, 200, 10));
}

// Source: Asmussen et al. 2009, Eur Polym J 45:515-522 (published): some 20 % of camphorquinone is used up; Chen et al.
// 2007 give kappa = 0.029 cm2/J (derived), hence 7.7 J/cm2 (derived: ln(1/0.8)/0.029 = 7.69).
TEST(Bleaching, AFifthIsGoneAfterThisFluence) {
  const RateLaw law = paste();
  EXPECT_NEAR(initiator_left(law, {0, 7.7}), 0.80, 0.001);
  EXPECT_NEAR(initiator_left(law, {0, 1 / law.bleaching_cm2_per_j}), std::exp(-1), 1e-12);
}

TEST(Bleaching, SlowsTheCureAndMostWhereItIsBright) {
  const RateLaw law = paste();
  const RateLaw steady = without_bleaching(law);
  const auto lost = [&](double phi) { return 1 - progress(law, 37, phi, 20) / progress(steady, 37, phi, 20); };
  EXPECT_GT(lost(10), 0);
  EXPECT_LT(lost(10), 0.01);
  EXPECT_GT(lost(3000), 0.3);
}

TEST(Induction, HoldsBackUntilItsFluence) {
  RateLaw law = paste();
  law.induction_j_cm2 = 0.2;
  EXPECT_EQ(progress(law, 37, 100, 1.999), 0);
  EXPECT_GT(progress(law, 37, 100, 2.1), 0);
  // What the cell has seen before counts.
  EXPECT_GT(progress(law, 37, 100, 1.5, 0.1), 0);
  EXPECT_EQ(step(law, {}, 100, 37, 1.9).x, 0);
}

TEST(Press, BecomesPiecesThatHoldItsRadiantExposureAndItsPowerOfIt) {
  const optics::Course ramp = optics::Ramp{.from_share = 0, .rise_s = 5, .to_share = 1};
  for (const double p : {0.5, 0.7, 1.0}) {
    double exposure = 0;
    double effect = 0;
    for (const Piece& piece : pieces(ramp, 12)) {
      exposure += piece.share * piece.seconds;
      effect += std::pow(piece.share, p) * piece.seconds;
    }
    EXPECT_NEAR(exposure, 5.0 / 2 + 7, 1e-12);
    EXPECT_NEAR(effect, 5 / (1 + p) + 7, 1e-3 * 5) << p;
  }
  const auto pulses = pieces(optics::Pulsed{.on_s = 0.01, .off_s = 0.03, .share = 0.8}, 10);
  ASSERT_EQ(pulses.size(), 1U);
  EXPECT_NEAR(pulses[0].seconds, 2.5, 1e-9);
  const auto two = pieces(optics::TwoLevel{.first_share = 0.3, .first_s = 3, .then_share = 1}, 2);
  EXPECT_NEAR(two[0].seconds, 2, 1e-12);
  EXPECT_EQ(two[1].seconds, 0);
}

}  // namespace
}  // namespace throughcure::cure
