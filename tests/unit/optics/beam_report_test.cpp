// The whole report of lights whose every number is known in closed form.
#include "throughcure/optics/beam_report.hpp"

#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "support/analytic_beam.hpp"
#include "throughcure/optics/exitance_image.hpp"

namespace throughcure::optics {
namespace {

Light light_of(Beam beam, double power_mw = 500) {
  Light light;
  light.name = "test light";
  light.tip_diameter_mm = 8;
  light.radiant_power_mw = {.value = power_mw, .low = 0.9 * power_mw, .unit = "mW"};
  light.spectrum = {{375, 525}, {1, 1}, SpectrumScale::kRelative};
  light.beam = std::move(beam);
  light.shape = {.core_exponent = 0, .tail_exponent = 0, .tail_share = 0};
  return light;
}

BeamReport report_of(const Light& light, const BeamQuestions& questions = {}) {
  return beam_report(light, exitance_image(light), questions);
}

TEST(ExitanceImage, CarriesTheRadiantPowerInsideTheTip) {
  const Light light = light_of(test::gaussian({.x_mm = 1, .y_mm = 0, .a_mm = 3, .b_mm = 2}, 200, 0.06));
  const BeamImage image = exitance_image(light);
  double power = 0;
  for (std::size_t row = 0; row < image.height; ++row) {
    for (std::size_t column = 0; column < image.width; ++column) {
      if (std::hypot(image.x_mm(column), image.y_mm(row)) <= 4) power += image.at(column, row) * 0.06 * 0.06 / 100;
    }
  }
  EXPECT_NEAR(power, 500, 1e-9);
  EXPECT_GT(image.at(199, 100), 0) << "what lies beyond the tip is shown as it was measured";
}

TEST(BeamReport, OfAUniformLambertianTip) {
  const BeamReport r = report_of(light_of(UniformDisc{}));
  const double exitance = 500 / (16 * std::numbers::pi) * 100;
  EXPECT_DOUBLE_EQ(r.exitance_mw_cm2.value, exitance);
  EXPECT_DOUBLE_EQ(*r.exitance_mw_cm2.low, 0.9 * exitance);
  EXPECT_FALSE(r.exitance_mw_cm2.high);
  EXPECT_DOUBLE_EQ(r.spectrum.below_385_nm, 10.0 / 150);
  EXPECT_DOUBLE_EQ(r.spectrum.from_385_to_515_nm, 130.0 / 150);
  EXPECT_DOUBLE_EQ(r.spectrum.above_515_nm, 10.0 / 150);
  // ISO 11146-1, a flat top: its own diameter (kind: standard). The stairs of the rim: a thousandth.
  EXPECT_NEAR(r.axes.larger_mm, 8, 8e-3);
  EXPECT_NEAR(r.axes.smaller_mm, 8, 8e-3);
  EXPECT_TRUE(r.axes.converged);
  // ISO 13694, a perfect flat top (kind: standard).
  EXPECT_NEAR(r.clip.flatness, 1, 1e-10);  // the rounding of a sum of 126000 equal numbers
  EXPECT_NEAR(r.clip.uniformity, 0, 1e-6);
  EXPECT_NEAR(r.clip.largest, exitance, 1e-3 * exitance);
  EXPECT_EQ(r.clip.clip_level, 0.1);
  EXPECT_EQ(r.weak.share_of_area, 0);
  EXPECT_NEAR(r.spots.hottest.irradiance_mw_cm2, exitance, 1e-3 * exitance);
  EXPECT_NEAR(r.spots.coldest.irradiance_mw_cm2, exitance, 1e-3 * exitance);
  EXPECT_FALSE(r.picture_share_inside);
}

TEST(BeamReport, IrradianceOnTheAxisOfALambertianDisc) {
  // On the axis of a uniform Lambertian disc E = M R^2 / (R^2 + z^2) (arithmetic, kind: derived). A sensor of a tenth
  // of a millimetre is a point here within 1e-3.
  const BeamReport r = report_of(light_of(UniformDisc{}), {.sensor_aperture_mm = 0.1});
  ASSERT_EQ(r.on_axis.size(), 6U);
  EXPECT_EQ(r.sensor_aperture_mm, 0.1);
  for (std::size_t i = 0; i < 6; ++i) {
    const double z = 2.0 * static_cast<double>(i);
    EXPECT_EQ(r.on_axis[i].distance_mm, z);
    EXPECT_NEAR(r.on_axis[i].irradiance_mw_cm2 / r.exitance_mw_cm2.value, 16 / (16 + z * z), 1e-3) << z;
  }
}

TEST(BeamReport, TheSensorOfTheReadingsCountsBeforeTheUsualOne) {
  Light light = light_of(UniformDisc{});
  light.fitted =
      FittedShape{.series = {.aperture_diameter_mm = 3.5, .distance_mm = {0, 8}, .irradiance_mw_cm2 = {9, 5}}};
  EXPECT_EQ(report_of(light).sensor_aperture_mm, 3.5);
}

TEST(BeamReport, OfAGaussianCutByTheTip) {
  // D4sigma of the uncut beam is 3 mm; the tip of 8 mm cuts off exp(-8 16 / 9), nothing.
  const BeamReport r = report_of(light_of(GaussianBeam{.diameter_mm = 3}), {.clip_level = 0.5});
  EXPECT_NEAR(r.axes.larger_mm, 3, 3e-3);
  EXPECT_NEAR(r.axes.smaller_mm, 3, 3e-3);
  const double eta = 0.5;
  const double log = std::log(1 / eta);
  EXPECT_NEAR(r.clip.flatness, (1 - eta) / log, 2e-3);
  EXPECT_NEAR(r.clip.fractional_power, 1 - eta, 2e-3);
  EXPECT_NEAR(r.clip.largest, 500 * 8 / (std::numbers::pi * 9) * 100, 10);
  EXPECT_NEAR(r.edge_steepness, 1 - std::log(1 / 0.9) / std::log(1 / 0.1), 2e-3);
}

TEST(BeamReport, AxesAreThoseOfTheFaceNotOfThePicture) {
  // In the picture y goes down: what lies low in it, turned clockwise, lies low on the face, turned clockwise.
  const test::Axes axes{.x_mm = 0.5, .y_mm = 0.75, .a_mm = 1.6, .b_mm = 1.0, .tilt_rad = 0.5};
  const BeamReport r = report_of(light_of(test::gaussian(axes, 300, 0.04)));
  EXPECT_NEAR(r.axes.centroid_x_mm, 0.5, 1e-4);
  EXPECT_NEAR(r.axes.centroid_y_mm, -0.75, 1e-4);
  EXPECT_NEAR(r.axes.larger_mm, 3.2, 1e-3);
  EXPECT_NEAR(r.axes.smaller_mm, 2.0, 1e-3);
  EXPECT_NEAR(r.axes.tilt_deg, -0.5 * 180 / std::numbers::pi, 0.01);
  ASSERT_TRUE(r.picture_share_inside);
  EXPECT_GT(*r.picture_share_inside, 0.99);
}

TEST(BeamReport, PowerScalesIrradiancesAndNothingElse) {
  for (const double times : {0.2, 4.7}) {
    const BeamImage picture = test::gaussian({.x_mm = -0.7, .y_mm = 0.4, .a_mm = 2.9, .b_mm = 1.3}, 100, 0.12);
    const BeamReport one = report_of(light_of(picture));
    const BeamReport other = report_of(light_of(picture, 500 * times), {.below_mw_cm2 = 400 * times});
    const auto same = [](double a, double b) { EXPECT_NEAR(a, b, 1e-9 * std::abs(b)); };
    same(other.exitance_mw_cm2.value, times * one.exitance_mw_cm2.value);
    same(other.spots.hottest.irradiance_mw_cm2, times * one.spots.hottest.irradiance_mw_cm2);
    same(other.spots.coldest.irradiance_mw_cm2, times * one.spots.coldest.irradiance_mw_cm2);
    same(other.clip.average, times * one.clip.average);
    same(other.on_axis[3].irradiance_mw_cm2, times * one.on_axis[3].irradiance_mw_cm2);
    same(other.axes.larger_mm, one.axes.larger_mm);
    same(other.clip.flatness, one.clip.flatness);
    same(other.weak.area_mm2, one.weak.area_mm2);
  }
}

}  // namespace
}  // namespace throughcure::optics
