// What a spectrum's own numbers are, against straight-line forms whose integrals are known.
#include "throughcure/optics/spectrum.hpp"

#include <gtest/gtest.h>

namespace throughcure::optics {
namespace {

// A triangle of area 50 about 450 nm, and a lower one of area 10 about 405 nm, dark between 415 and 425 nm.
const Spectrum kTwoPeaks{{395, 405, 415, 425, 450, 475}, {0, 1, 0, 0, 2, 0}};

TEST(Spectrum, IsZeroOutsideItsPointsAndStraightBetweenThem) {
  EXPECT_EQ(value_at(kTwoPeaks, 394.9), 0);
  EXPECT_EQ(value_at(kTwoPeaks, 475.1), 0);
  EXPECT_DOUBLE_EQ(value_at(kTwoPeaks, 437.5), 1);
  EXPECT_DOUBLE_EQ(value_at(kTwoPeaks, 450), 2);
}

TEST(Spectrum, SharesAreExactAndAddUp) {
  EXPECT_DOUBLE_EQ(whole_power(kTwoPeaks), 60);
  EXPECT_DOUBLE_EQ(share_between(kTwoPeaks, 385, 425), 10. / 60);
  EXPECT_DOUBLE_EQ(share_between(kTwoPeaks, 0, 411) + share_between(kTwoPeaks, 411, 2000), 1);
}

TEST(Spectrum, MeanAndPeakWavelength) {
  EXPECT_DOUBLE_EQ(mean_wavelength_nm(kTwoPeaks, 425, 515), 450);
  EXPECT_DOUBLE_EQ(mean_wavelength_nm(kTwoPeaks, 385, 515), (10 * 405. + 50 * 450) / 60);
  EXPECT_DOUBLE_EQ(mean_wavelength_nm(kTwoPeaks, 500, 520), 510);
  EXPECT_DOUBLE_EQ(peak_wavelength_nm(kTwoPeaks), 450);
  // A straight rise from 0: its centre lies at two thirds.
  EXPECT_DOUBLE_EQ(mean_wavelength_nm({{400, 430}, {0, 5}}, 300, 600), 420);
}

TEST(Spectrum, AnAbsoluteOneGivesThePowerInMilliwatts) {
  EXPECT_DOUBLE_EQ(radiant_power_mw({{440, 460}, {0.02, 0.02}, SpectrumScale::kAbsoluteWPerNm}), 400);
}

TEST(Spectrum, ResamplingKeepsTheMeanOverEachCell) {
  const std::vector<double> grid = {390, 400, 410, 420, 430};
  const auto coarse = resampled(kTwoPeaks, grid);
  ASSERT_EQ(coarse.power_per_nm.size(), grid.size());
  // Cell 405 to 415 of a fall from 1 to 0.
  EXPECT_DOUBLE_EQ(coarse.power_per_nm[2], 0.5);
  EXPECT_DOUBLE_EQ(coarse.power_per_nm[0], 0);
}

}  // namespace
}  // namespace throughcure::optics
