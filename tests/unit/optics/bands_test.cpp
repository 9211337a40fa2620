// Which windows of wavelength a light and a material need.
#include "throughcure/optics/bands.hpp"

#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "support/test_initiator.hpp"

namespace throughcure::optics {
namespace {

using tests::initiator;

std::string kept(const std::vector<double>& nm, const std::vector<double>& power, const std::vector<Initiator>& in) {
  std::string all;
  for (const Band& band : bands_that_cure(violet_and_blue(), {nm, power}, in)) all += band.name + " ";
  return all;
}

TEST(Emission, IsIntegratedExactlyInsideItsPointsOnly) {
  const std::vector<double> nm = {400, 450, 500};
  const std::vector<double> power = {0, 2, 1};
  const Emission e{nm, power};
  EXPECT_DOUBLE_EQ(power_at(e, 425), 1);
  EXPECT_DOUBLE_EQ(power_at(e, 500), 1);
  EXPECT_DOUBLE_EQ(power_between(e, 300, 600), 50 + 75);
  EXPECT_DOUBLE_EQ(power_between(e, 425, 475), 37.5 + 43.75);
  EXPECT_DOUBLE_EQ(power_between(e, 510, 600), 0);
}

TEST(Bands, VioletAndBlueMeetAndCoverTheCuringRange) {
  const auto both = violet_and_blue();
  ASSERT_EQ(both.size(), 2U);
  EXPECT_EQ(both[0].from_nm, 385);
  EXPECT_EQ(both[0].to_nm, both[1].from_nm);
  EXPECT_EQ(both[1].to_nm, 515);
}

TEST(Bands, AreKeptWhereTheEmitterShinesAndAnInitiatorAbsorbs) {
  const std::vector<Initiator> blue_only = {initiator({{405, 3}, {469, 46}, {515, 0}})};
  const std::vector<Initiator> violet_only = {initiator({{381, 500}, {424, 0}})};
  const std::vector<double> blue = {430, 450, 470};
  const std::vector<double> one_peak = {0, 1, 0};
  const std::vector<double> both = {390, 405, 420, 440, 460, 480};
  const std::vector<double> two_peaks = {0, 1, 0, 0, 2, 0};
  EXPECT_EQ(kept(blue, one_peak, blue_only), "blue ");
  EXPECT_EQ(kept(both, two_peaks, blue_only), "violet blue ");
  EXPECT_EQ(kept(both, two_peaks, violet_only), "violet ");
  EXPECT_EQ(kept(blue, one_peak, violet_only), "");
  EXPECT_EQ(kept(both, two_peaks, {}), "");
}

TEST(Bands, AFaintTailIsNotFollowed) {
  const std::vector<Initiator> both = {initiator({{385, 100}, {515, 100}})};
  const std::vector<double> nm = {385, 424, 425, 450, 480};
  EXPECT_EQ(kept(nm, {0.0005, 0.0005, 0.0005, 1, 1}, both), "blue ");
  EXPECT_EQ(kept(nm, {0.05, 0.05, 0.05, 1, 1}, both), "violet blue ");
}

}  // namespace
}  // namespace throughcure::optics
