// The ramps are even to the eye: lightness one way, steps nearly alike, and what the screen shows is what was meant.
#include "throughcure/draw/ramps.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include <gtest/gtest.h>

namespace throughcure::draw {
namespace {

constexpr int kSteps = 64;

template <class Ramp>
std::vector<OkLab> steps_of(Ramp ramp) {
  std::vector<OkLab> out;
  for (int k = 0; k <= kSteps; ++k) out.push_back(ramp(static_cast<double>(k) / kSteps));
  return out;
}

/// Largest step by smallest step.
double unevenness(const std::vector<OkLab>& ramp) {
  double least = 1;
  double most = 0;
  for (std::size_t k = 1; k < ramp.size(); ++k) {
    const double step = difference(ramp[k - 1], ramp[k]);
    least = std::min(least, step);
    most = std::max(most, step);
  }
  return most / least;
}

TEST(OkLab, KnowsTheColoursItsSourceGives) {
  // Ottosson 2020 (published): white is (1, 0, 0); the transform of sRGB's own red, there to three places.
  const OkLab white = to_oklab({255, 255, 255});
  EXPECT_NEAR(white.lightness, 1, 1e-6);
  EXPECT_NEAR(white.a, 0, 1e-6);
  EXPECT_NEAR(white.b, 0, 1e-6);
  EXPECT_NEAR(to_oklab({255, 0, 0}).lightness, 0.628, 5e-4);
  EXPECT_NEAR(to_oklab({255, 0, 0}).a, 0.225, 5e-4);
  EXPECT_NEAR(to_oklab({255, 0, 0}).b, 0.126, 5e-4);
}

TEST(OkLab, ThereAndBack) {
  for (const Colour& colour : {Colour{0, 0, 0}, Colour{255, 255, 255}, Colour{12, 200, 99}, Colour{250, 3, 128}}) {
    EXPECT_EQ(to_colour(to_oklab(colour)), colour);
  }
}

TEST(Ramps, LightRisesFromInkToWhite) {
  const auto ramp = steps_of(light_ramp);
  for (std::size_t k = 1; k < ramp.size(); ++k) EXPECT_GT(ramp[k].lightness, ramp[k - 1].lightness);
  EXPECT_LT(unevenness(ramp), 1.05);
  EXPECT_EQ(to_colour(ramp.back()), kWhite);
  // As dark as the ink of words, give or take what nobody sees.
  EXPECT_NEAR(ramp.front().lightness, to_oklab(kInk).lightness, 0.03);
}

TEST(Ramps, LightHasOneHue) {
  for (const OkLab& colour : steps_of(light_ramp)) {
    if (std::hypot(colour.a, colour.b) < 1e-3) continue;  // white has none
    EXPECT_NEAR(std::atan2(colour.b, colour.a), std::atan2(light_ramp(0.4).b, light_ramp(0.4).a), 1e-9);
  }
}

TEST(Ramps, ConversionDarkensEvenlyFromStrawToTeal) {
  const auto ramp = steps_of(conversion_ramp);
  for (std::size_t k = 1; k < ramp.size(); ++k) EXPECT_LT(ramp[k].lightness, ramp[k - 1].lightness);
  EXPECT_LT(unevenness(ramp), 1.001);
  const Colour unset = to_colour(ramp.front());
  const Colour set = to_colour(ramp.back());
  EXPECT_TRUE(unset.red > unset.blue && unset.green > unset.blue) << "straw is yellow";
  EXPECT_TRUE(set.green > set.red && set.blue > set.red) << "teal lacks red";
  // Room for dark words on the pale end and for white ones on the deep end.
  EXPECT_GT(ramp.front().lightness, 0.9);
  EXPECT_LT(ramp.back().lightness, 0.4);
}

TEST(Ramps, EveryColourCanBeShown) {
  for (const OkLab& colour : steps_of(light_ramp)) EXPECT_TRUE(in_srgb(colour)) << colour.lightness;
  for (const OkLab& colour : steps_of(conversion_ramp)) EXPECT_TRUE(in_srgb(colour)) << colour.lightness;
}

TEST(Ramps, OutsideZeroToOneTheEndHolds) {
  EXPECT_EQ(to_colour(light_ramp(-1)), to_colour(light_ramp(0)));
  EXPECT_EQ(to_colour(conversion_ramp(2)), to_colour(conversion_ramp(1)));
}

}  // namespace
}  // namespace throughcure::draw
