// The angular shape from irradiance against distance.
#include "throughcure/optics/shape_fit.hpp"

#include <cmath>

#include <gtest/gtest.h>

#include "throughcure/base/random.hpp"
#include "throughcure/optics/source.hpp"

namespace throughcure::optics {
namespace {

DistanceSeries readings(const TipSource& source, double power_mw, double aperture_mm, std::vector<double> distances) {
  DistanceSeries series{
      .aperture_diameter_mm = aperture_mm, .distance_mm = std::move(distances), .irradiance_mw_cm2 = {}};
  for (const double distance : series.distance_mm) {
    series.irradiance_mw_cm2.push_back(100 * power_mw * irradiance_per_mw(source, distance, aperture_mm / 2));
  }
  return series;
}

const std::vector<double> kDistances = {0, 1, 2, 3, 4, 6, 8, 10, 15, 20};

TEST(ShapeFit, FindsAShapeThatItsReadingsCameFrom) {
  for (const Beam& beam : {Beam(UniformDisc{}), Beam(GaussianBeam{6})}) {
    for (const AngularShape& known : {AngularShape{12, 0.5, 0.3}, AngularShape{40, 2, 0.5}, AngularShape{5, 0, 0.1}}) {
      const TipSource source = tip_source(tip_map(beam, 8), known);
      const ShapeFit fit = fit_shape(source.map, readings(source, 480, 3.9, kDistances));
      EXPECT_LT(fit.residual, 1e-4);
      EXPECT_NEAR(fit.radiant_power_mw, 480, 5);
      // Different pairs of lobes can be near each other in form; what counts is the radiance and where the power goes.
      for (const double angle : {0.0, 10.0, 20.0, 35.0}) {
        const double c = std::cos(angle * std::numbers::pi / 180);
        EXPECT_NEAR(radiance_per_exitance(fit.shape, c) / radiance_per_exitance(known, c), 1, 0.03)
            << known.core_exponent << " at " << angle;
      }
    }
  }
}

TEST(ShapeFit, OneLobeNeedsNoTail) {
  const TipSource source = tip_source(tip_map(UniformDisc{}, 10), {.core_exponent = 7});
  const ShapeFit fit = fit_shape(source.map, readings(source, 300, 6, kDistances));
  EXPECT_LT(fit.residual, 1e-4);
  EXPECT_NEAR(half_angle_deg(fit.shape), half_angle_deg(source.shape), 0.3);
}

TEST(ShapeFit, DoesNotDependOnTheScaleOfTheReadings) {
  const TipSource source = tip_source(tip_map(UniformDisc{}, 8), {12, 0.5, 0.3});
  DistanceSeries series = readings(source, 480, 3.9, kDistances);
  const ShapeFit one = fit_shape(source.map, series);
  for (double& value : series.irradiance_mw_cm2) value *= 0.25;
  const ShapeFit other = fit_shape(source.map, series);
  EXPECT_NEAR(half_angle_deg(one.shape), half_angle_deg(other.shape), 1e-3);
  EXPECT_NEAR(other.radiant_power_mw, one.radiant_power_mw / 4, 0.1);
}

TEST(ShapeFit, NoiseComesBackAsItsResidualAndNotAsAShape) {
  const TipSource source = tip_source(tip_map(UniformDisc{}, 8), {12, 0.5, 0.3});
  DistanceSeries series = readings(source, 480, 3.9, kDistances);
  base::Stream stream(3, 1, 0);
  for (double& value : series.irradiance_mw_cm2) value *= 1 + 0.04 * (stream.uniform() - 0.5);
  const ShapeFit fit = fit_shape(source.map, series);
  // Uniform noise of 4 % from end to end has a standard deviation of 1.15 %, and cannot exceed 2 %.
  EXPECT_LT(fit.residual, 0.02);
  EXPECT_GT(fit.residual, 0.002);
  EXPECT_NEAR(half_angle_deg(fit.shape), half_angle_deg(source.shape), 4);
}

TEST(ShapeFit, AFewReadingsGiveALambertianTail) {
  const TipSource source = tip_source(tip_map(UniformDisc{}, 8), {20, 0, 0.3});
  const ShapeFit fit = fit_shape(source.map, readings(source, 480, 3.9, {0, 4, 8, 16}));
  EXPECT_EQ(fit.shape.tail_exponent, 0);
  EXPECT_NEAR(fit.shape.core_exponent, 20, 0.5);
  EXPECT_NEAR(fit.shape.tail_share, 0.3, 0.01);
}

// A narrow, steep cone would lose nothing on the axis for a centimetre; a fitted shape must not be one.
TEST(ShapeFit, LosesOnTheAxisWhatTheReadingsLose) {
  const DistanceSeries series = {4, {0, 2, 4, 6, 8, 10}, {1000, 950, 860, 740, 610, 500}};
  const TipMap map = tip_map(UniformDisc{}, 8);
  const ShapeFit fit = fit_shape(map, series);
  EXPECT_LT(fit.residual, 0.05);
  const TipSource source = tip_source(map, fit.shape);
  EXPECT_NEAR(irradiance_per_mw(source, 8, 2) / irradiance_per_mw(source, 0, 2), 0.61, 0.05);
}

}  // namespace
}  // namespace throughcure::optics
