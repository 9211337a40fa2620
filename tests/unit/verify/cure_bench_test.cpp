// What stands for what a study does not say: scatter of readings, lamps whose irradiance is not known, several
// materials.
#include "verify/cure_bench.hpp"

#include <cmath>
#include <vector>

#include <gtest/gtest.h>

namespace throughcure::verify {
namespace {

using exchange::LitSpecimen;

/// 4096 simulated readings: a quantile of a normal is good to 0.03 sd (one standard error, at 10 %); four of them here.
constexpr double kRoom = 0.12;

TEST(Printed, ScattersATruthByTheLaboratory) {
  const std::vector<double> truth(10, 3.0);
  const Answer found = printed(truth, {.within = 0.3, .between = 0.4}, {}, "row");
  EXPECT_NEAR(found.value.value(), 3, 0.5 * kRoom);
  EXPECT_NEAR(found.high.value() - found.low.value(), 2 * 1.2816 * 0.5, 2 * 0.5 * kRoom);
  const Answer ratio = printed(truth, {.between_ratio = 1.25}, {}, "row");
  EXPECT_NEAR(std::log(ratio.high.value() / ratio.low.value()), 2 * 1.2816 * std::log(1.25),
              2 * kRoom * std::log(1.25));
  EXPECT_EQ(found.low, printed(truth, {.within = 0.3, .between = 0.4}, {}, "row").low);
}

// Source: the least of n uniform numbers has its quantiles at 1 - (1 - q)^(1/n) (arithmetic).
TEST(Printed, TakesTheLeastOrTheMostOfSeveralMaterials) {
  std::vector<double> truth;
  truth.reserve(1000);
  for (int i = 0; i < 1000; ++i) truth.push_back((i + 0.5) / 1000);
  const Answer least = printed(truth, {}, {exchange::OneOf::kLeast, 8}, "row");
  const Answer most = printed(truth, {}, {exchange::OneOf::kMost, 8}, "row");
  EXPECT_NEAR(least.value.value(), 1 - std::pow(0.5, 1.0 / 8), 0.01);
  EXPECT_NEAR(least.high.value(), 1 - std::pow(0.1, 1.0 / 8), 0.02);
  EXPECT_NEAR(most.value.value(), std::pow(0.5, 1.0 / 8), 0.01);
}

LitSpecimen under(const char* lamp) {
  return {.lamp = lamp, .irradiance_mw_cm2 = {.value = 900, .low = 500, .high = 1600}, .seconds = {.value = 20}};
}

TEST(Irradiance, IsSharedByTheRowsOfALampAndDrawnForEachDraw) {
  int within = 0;
  double together = 0;
  constexpr int draws = 2000;
  for (int i = 0; i < draws; ++i) {
    const cure::Draw draw{.id = static_cast<std::uint64_t>(i)};
    const double one = irradiance_mw_cm2(under("L1 high"), draw);
    ASSERT_EQ(one, irradiance_mw_cm2(under("L1 high"), draw));
    const double other = irradiance_mw_cm2(under("L1 low"), draw);
    within += one > 500 && one < 1600 ? 1 : 0;
    together += std::log(one / 900) * std::log(other / 900);
  }
  EXPECT_NEAR(within / static_cast<double>(draws), 0.9, 4 * std::sqrt(0.09 / draws));
  const double sd = std::log(3.2) / (2 * 1.6449);
  EXPECT_NEAR(together / draws, 0, 4 * sd * sd / std::sqrt(draws)) << "two lamps know nothing of each other";
  EXPECT_EQ(irradiance_mw_cm2({.irradiance_mw_cm2 = {.value = 1090}}, {.id = 5}), 1090);
}

TEST(Seconds, AreThoseOfAllPresses) {
  LitSpecimen specimen = under("L2");
  specimen.presses = 3;
  EXPECT_NEAR(seconds(specimen, {.id = 1}), 60, 1e-12);
  specimen.seconds = {.value = 15, .low = 10, .high = 20};
  EXPECT_GT(seconds(specimen, {.id = 1}), 30);
  EXPECT_LT(seconds(specimen, {.id = 1}), 60);
}

TEST(LightOn, GoesWithTheIrradianceAndAnUnknownMouldIsTwo) {
  CureBench bench(500);
  const LitSpecimen bright{.irradiance_mw_cm2 = {.value = 1000}, .seconds = {.value = 20}, .bore_mm = 4};
  LitSpecimen dim = bright;
  dim.irradiance_mw_cm2.value = 500;
  LitSpecimen open = bright;
  open.bore_mm.reset();
  const base::Running running{.threads = 2};
  const cure::DrawSource& paste = bench.material(cure::MaterialClass::kPaste, exchange::ShadeDepth::kMedium);
  const cure::Draw even = cure::prior_draw(paste, kCureSeed, 2);
  const cure::Draw odd = cure::prior_draw(paste, kCureSeed, 3);
  const auto top = [&](const LitSpecimen& specimen, const cure::Draw& draw) {
    return bench.light_on(specimen, running)(draw).phi_per_exitance.front();
  };
  EXPECT_NEAR(top(bright, even) / top(dim, even), 2, 1e-12);
  EXPECT_EQ(top(open, even), top(bright, even));
  EXPECT_NE(top(open, odd), top(bright, odd));
}

}  // namespace
}  // namespace throughcure::verify
