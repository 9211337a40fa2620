// What the page is told of a light, worked out from the light.
#include "throughcure/service/light_answer.hpp"

#include <numeric>

#include <gtest/gtest.h>

#include "throughcure/exchange/light_file.hpp"

namespace throughcure::service {
namespace {

optics::Light demo() { return exchange::read_light(THROUGHCURE_SOURCE_DIR "/demo/lights/demo-light.toml"); }

TEST(LightAnswer, TheRowSaysWhatTheLightGives) {
  const LightRow row = row_of(demo(), "demo-light");
  EXPECT_EQ(row.id, "demo-light");
  EXPECT_EQ(row.tip_diameter_mm, 8);
  ASSERT_TRUE(row.exitance_mw_cm2.has_value());
  EXPECT_NEAR(row.exitance_mw_cm2->value, 1000, 1e-9);
  EXPECT_NEAR(row.exitance_mw_cm2->low.value_or(0), 895, 1e-9);
  EXPECT_NEAR(row.exitance_mw_cm2->high.value_or(0), 1106, 1e-9);
  EXPECT_TRUE(row.problems.empty());
}

TEST(LightAnswer, TheMapAndTheSpectrumEachHoldTheRadiantPower) {
  const LightView view = view_of(demo(), "demo-light");
  const auto& map = view.map;
  ASSERT_EQ(map.irradiance_mw_cm2.size(), map.columns * map.rows);
  const double sum = std::accumulate(map.irradiance_mw_cm2.begin(), map.irradiance_mw_cm2.end(), 0.0);
  // A sharp edge on a grid of 0.1 mm: within 1 %.
  EXPECT_NEAR(sum * map.mm_per_pixel * map.mm_per_pixel / 100, view.power_mw.value, 0.01 * view.power_mw.value);
  double power = 0;
  for (std::size_t i = 1; i < view.spectrum.wavelength_nm.size(); ++i) {
    power += (view.spectrum.wavelength_nm[i] - view.spectrum.wavelength_nm[i - 1]) *
             (view.spectrum.power_mw_per_nm[i] + view.spectrum.power_mw_per_nm[i - 1]) / 2;
  }
  EXPECT_NEAR(power, view.power_mw.value, 1e-6);
  EXPECT_NEAR(view.share_below_385_nm + view.share_385_to_515_nm + view.share_above_515_nm, 1, 1e-12);
  EXPECT_GT(view.share_385_to_515_nm, 0.98);
}

TEST(LightAnswer, SharesOfABlueLightAloneAreNoneElsewhere) {
  optics::Light light = demo();
  light.spectrum = {.wavelength_nm = {430, 460, 490}, .power_per_nm = {0, 1, 0}};
  const LightView view = view_of(light, "x");
  EXPECT_EQ(view.share_below_385_nm, 0);
  EXPECT_NEAR(view.share_385_to_515_nm, 1, 1e-12);
  EXPECT_EQ(view.share_above_515_nm, 0);
}

TEST(LightAnswer, TheMapIsNotUpsideDown) {
  // The demo light's two brightest spots lie below the middle of its picture.
  const auto map = view_of(demo(), "demo-light").map;
  const auto at = [&map](double x, double down) {
    const auto index = [&](double mm, double first) {
      return static_cast<std::size_t>(std::lround((mm - first) / map.mm_per_pixel));
    };
    return map.irradiance_mw_cm2[index(down, map.top_mm) * map.columns + index(x, map.left_mm)];
  };
  EXPECT_GT(at(1.3, 0.9), 1.15 * at(1.3, -0.9));
  EXPECT_GT(at(-1.4, 0.7), 1.05 * at(-1.4, -0.7));
}

TEST(LightAnswer, TheCurveRunsThroughTheReadings) {
  const auto distance = view_of(demo(), "demo-light").distance;
  EXPECT_EQ(distance.aperture_mm, 4);
  ASSERT_EQ(distance.mm.size(), distance.irradiance_mw_cm2.size());
  ASSERT_EQ(distance.measured_mm.size(), 10U);
  EXPECT_EQ(distance.mm.back(), 20);
  EXPECT_NEAR(distance.irradiance_mw_cm2.front(), distance.measured_mw_cm2.front(), 25);
  EXPECT_NEAR(distance.irradiance_mw_cm2.back(), distance.measured_mw_cm2.back(), 10);
  for (std::size_t i = 1; i < distance.mm.size(); ++i) {
    EXPECT_LE(distance.irradiance_mw_cm2[i], distance.irradiance_mw_cm2[i - 1]) << distance.mm[i];
  }
}

TEST(LightAnswer, ALightWithAStatedAngleHasACurveAndNoReadings) {
  optics::Light light = demo();
  light.fitted.reset();
  const LightView view = view_of(light, "x");
  EXPECT_TRUE(view.distance.measured_mm.empty());
  EXPECT_EQ(view.distance.mm.size(), 61U);
  EXPECT_EQ(view.distance.mm.back(), 12);
}

}  // namespace
}  // namespace throughcure::service
