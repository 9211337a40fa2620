// Hardness from conversion, the reference piece, and the worked check of the rate law in one dimension.
#include "throughcure/cure/hardness.hpp"

#include <cmath>
#include <utility>
#include <vector>

#include <gtest/gtest.h>

#include "throughcure/exchange/reference_cure.hpp"

namespace throughcure::cure {
namespace {

const Priors& priors() {
  static const Priors read = exchange::reference_cure();
  return read;
}

// Source: Bouschlicher, Rueggeberg, Wilson 2004, Oper Dent 29:698 (published): B/T hardness 0.80 goes with B/T
// conversion 0.88 to 0.91.
TEST(Hardness, EightTenthsIsNineTenthsOfTheConversion) {
  const double slope = priors().hardness.slope.value;
  EXPECT_NEAR(hardness_ratio(0.895, slope), 0.80, 1e-12);
  EXPECT_GE(conversion_ratio_for(0.80, slope), 0.88);
  EXPECT_LE(conversion_ratio_for(0.80, slope), 0.91);
  EXPECT_EQ(hardness_ratio(1, slope), 1);
  EXPECT_EQ(hardness_ratio(0, slope), 0);
  EXPECT_GT(hardness_ratio(1.02, slope), 1);
}

// Source: Moore et al. 2008, Oper Dent 33:408-412 (published): hardness at the scraped depth is 55 to 70 % of the top;
// as conversion 0.76 to 0.84 (derived).
TEST(Hardness, AtTheScrapedDepthMeansThisConversion) {
  const double slope = priors().hardness.slope.value;
  EXPECT_NEAR(conversion_ratio_for(0.55, slope), 0.76, 0.005);
  EXPECT_NEAR(conversion_ratio_for(0.70, slope), 0.84, 0.005);
}

TEST(Reference, IsNearItsLimitAndGainsInTheDark) {
  const RateLaw law = nominal_law(priors(), MaterialClass::kPaste);
  const ConversionCurve curve(law, 37);
  const ReferenceLight light{.phi_mw_cm2 = 4000, .seconds = 24};
  const double at_once = reference_conversion(law, curve, 37, light, 0);
  const double next_day = reference_conversion(law, curve, 37, light);
  EXPECT_GT(at_once, 0.9 * curve.limit());
  EXPECT_LE(at_once, curve.limit());
  EXPECT_NEAR(next_day - at_once, law.dark.gain, 1e-9);
}

// The worked check in one dimension: an exponential profile with p * attenuation = 0.69 per mm, light only, k_ref such
// that 20 s at 1000 mW/cm2 scrape to 2.9 mm. Source: worked check against NIOM, tested depth of cure, 2005-2011;
// kind: derived (the table's two decimals are the bounds). Its last column says "below 0 (clamp)" in the first row.
struct Worked {
  double scrape_conversion, k_ref, hardness_at_depth, hardness_2mm, hardness_4mm;
};
class WorkedCheck : public testing::TestWithParam<Worked> {};

TEST_P(WorkedCheck, IsReproducedToItsDigits) {
  const Worked& row = GetParam();
  RateLaw law = nominal_law(priors(), MaterialClass::kPaste);
  law.bleaching_cm2_per_j = 0;
  const double temperature = law.reference_temperature_c;
  const double attenuation_per_mm = 0.69 / law.p;
  const auto phi = [&](double z_mm) { return 1000 * std::exp(-attenuation_per_mm * z_mm); };

  law.k_ref_per_s = 1;
  const double needed = progress_to_reach(law, temperature, row.scrape_conversion);
  law.k_ref_per_s = needed / progress(law, temperature, phi(2 * 2.9), 20);
  EXPECT_NEAR(law.k_ref_per_s, row.k_ref, 0.0055);

  const ConversionCurve curve(law, temperature);
  const auto x = [&](double z_mm, double seconds) { return curve.at(progress(law, temperature, phi(z_mm), seconds)); };
  const std::vector<std::pair<double, double>> depths = {{5, 1.90}, {10, 2.40}, {15, 2.69}, {20, 2.90}, {40, 3.40}};
  for (const auto& [seconds, depth_mm] : depths) {
    EXPECT_GE(x(2 * (depth_mm - 0.0055), seconds), row.scrape_conversion) << seconds;
    EXPECT_LE(x(2 * (depth_mm + 0.0055), seconds), row.scrape_conversion) << seconds;
  }
  const auto hardness = [&](double z_mm) {
    return hardness_ratio(x(z_mm, 20) / x(0, 20), priors().hardness.slope.value);
  };
  EXPECT_NEAR(hardness(2.9), row.hardness_at_depth, 0.0055);
  EXPECT_NEAR(hardness(2), row.hardness_2mm, 0.0055);
  EXPECT_NEAR(hardness(4), row.hardness_4mm, 0.0055);
}

INSTANTIATE_TEST_SUITE_P(Rows, WorkedCheck,
                         testing::Values(Worked{0.05, 0.13, 0.19, 0.59, 0}, Worked{0.10, 0.25, 0.57, 0.81, 0.09},
                                         Worked{0.15, 0.38, 0.72, 0.88, 0.35}, Worked{0.20, 0.51, 0.80, 0.91, 0.52}));

}  // namespace
}  // namespace throughcure::cure
