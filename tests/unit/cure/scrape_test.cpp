// The simulated scrape test, from a table of the light in the mould.
#include "throughcure/cure/scrape.hpp"

#include <cmath>
#include <vector>

#include <gtest/gtest.h>

#include "throughcure/cure/conversion_curve.hpp"
#include "unit/cure/invented_paste.hpp"

namespace throughcure::cure {
namespace {

Draw middle() {
  Draw draw;
  draw.law = nominal_law(exchange::reference_cure(), MaterialClass::kPaste);
  return draw;
}

TEST(Mould, IsReadBetweenItsDepthsAlongAStraightLogarithm) {
  const MouldProfile profile{.depth_mm = {0, 2, 4}, .phi_per_exitance = {4, 1, 0.25}};
  EXPECT_NEAR(std::exp(ln_phi_per_exitance(profile, 1)), 2, 1e-12);
  EXPECT_NEAR(std::exp(ln_phi_per_exitance(profile, 4)), 0.25, 1e-12);
  EXPECT_NEAR(std::exp(ln_phi_per_exitance(profile, 9)), 0.25, 1e-12);
  EXPECT_NEAR(attenuation_per_mm(profile, 2.5), std::log(4) / 2, 1e-12);
  EXPECT_NEAR(attenuation_per_mm(profile, 4), std::log(4) / 2, 1e-12);
}

TEST(Scrape, EndsWhereTheConversionIsWhatASpatulaFinds) {
  const Draw draw = middle();
  const TestExposure exposure{.exitance_mw_cm2 = 1000, .seconds = 20};
  const MouldProfile profile = invented::mould(draw);
  const double length = scraped_length_mm(draw, profile, exposure);
  ASSERT_GT(length, 1);
  const double phi = 1000 * std::exp(ln_phi_per_exitance(profile, length));
  const ConversionCurve curve(draw.law, 23);
  EXPECT_NEAR(curve.at(progress(draw.law, 23, phi, 20)), draw.law.dark.gel, 1e-6);
}

// L = (1/mu) ln E + (1/(p mu)) ln t + const: identity of the law without bleaching and induction (derived).
TEST(Scrape, GrowsByOneOverPMuInLogTimeAndByOneOverMuInLogIrradiance) {
  Draw draw = middle();
  draw.law.bleaching_cm2_per_j = 0;
  const MouldProfile profile = invented::mould(draw);
  const double mu = attenuation_per_mm(profile, 3);
  const auto length = [&](double irradiance, double seconds) {
    return scraped_length_mm(draw, profile, {.exitance_mw_cm2 = irradiance, .seconds = seconds});
  };
  EXPECT_NEAR(length(1000, 20) - length(1000, 10), std::log(2) / (draw.law.p * mu), 1e-6);
  EXPECT_NEAR(length(1000, 20) - length(500, 20), std::log(2) / mu, 1e-6);
}

TEST(Scrape, OfNothingIsNothingAndOfAClearMouldIsItsFloor) {
  const Draw draw = middle();
  const MouldProfile bright{.depth_mm = {0, 5, 8}, .phi_per_exitance = {4, 3, 3}};
  EXPECT_EQ(scraped_length_mm(draw, bright, {.exitance_mw_cm2 = 1000, .seconds = 20}), 8);
  EXPECT_EQ(scraped_length_mm(draw, bright, {.exitance_mw_cm2 = 1000, .seconds = 0}), 0);
  EXPECT_EQ(scraped_length_mm(draw, bright, {.exitance_mw_cm2 = 0, .seconds = 20}), 0);
}

TEST(Scrape, IsDeeperAfterARampOnlyWhereItGivesMoreLight) {
  const Draw draw = middle();
  const MouldProfile profile = invented::mould(draw);
  const auto length = [&](const optics::Course& course) {
    return scraped_length_mm(draw, profile, {.exitance_mw_cm2 = 1000, .seconds = 10, .course = course});
  };
  const double full = length(optics::Continuous{});
  EXPECT_LT(length(optics::Ramp{.from_share = 0, .rise_s = 5, .to_share = 1}), full);
  EXPECT_LT(length(optics::Pulsed{.on_s = 0.05, .off_s = 0.05, .share = 1}), full);
}

TEST(Quantile, LiesOnStraightLinesBetweenTheSorted) {
  EXPECT_EQ(quantile({3, 1, 2}, 0.5), 2);
  EXPECT_NEAR(quantile({0, 10}, 0.1), 1, 1e-12);
  EXPECT_EQ(quantile({5}, 0.9), 5);
  EXPECT_EQ(quantile({}, 0.9), 0);
}

}  // namespace
}  // namespace throughcure::cure
