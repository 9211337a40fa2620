// Second-moment widths against closed forms.
// Source: ISO 11146-1 (kind: standard): a Gaussian of 1/e^2 radius w has D4sigma = 2 w; a uniform ellipse of half axes
// a and b has D4sigma = 2 a and 2 b (its second moments are a^2 / 4 and b^2 / 4).
#include "throughcure/optics/beam_widths.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "support/analytic_beam.hpp"
#include "throughcure/base/random.hpp"

namespace throughcure::optics {
namespace {

using test::Axes;
using test::flat_top;
using test::gaussian;

/// The difference of two axes (an axis has no head: it comes back after half a turn), in [0, pi/2].
double between_axes(double a, double b) { return std::abs(std::remainder(a - b, std::numbers::pi)); }

TEST(BeamWidths, GaussianIsTwiceItsRadius) {
  const BeamWidths w = beam_widths(gaussian({.a_mm = 1.7, .b_mm = 1.7}));
  ASSERT_TRUE(w.converged);
  EXPECT_NEAR(w.major_mm, 3.4, 3.4e-4);
  EXPECT_NEAR(w.minor_mm, 3.4, 3.4e-4);
  EXPECT_NEAR(w.centroid_x_mm, 0, 1e-9);
  EXPECT_NEAR(w.centroid_y_mm, 0, 1e-9);
}

TEST(BeamWidths, FlatTopDiscIsItsDiameter) {
  const BeamWidths w = beam_widths(flat_top({.a_mm = 4, .b_mm = 4}));
  ASSERT_TRUE(w.converged);
  // The stairs of the rim: 80 pixels to the radius give 1e-3 at most.
  EXPECT_NEAR(w.major_mm, 8, 8e-3);
  EXPECT_NEAR(w.minor_mm, 8, 8e-3);
}

TEST(BeamWidths, TiltedEllipseGivesBothAxesAndTheTilt) {
  for (const double tilt : {0.0, 0.3, 1.2, -0.7, std::numbers::pi / 2}) {
    const Axes axes{.x_mm = 0.8, .y_mm = -0.5, .a_mm = 2.0, .b_mm = 1.2, .tilt_rad = tilt};
    const BeamWidths w = beam_widths(gaussian(axes));
    ASSERT_TRUE(w.converged);
    EXPECT_NEAR(w.major_mm, 4.0, 4e-4) << tilt;
    EXPECT_NEAR(w.minor_mm, 2.4, 4e-4) << tilt;
    EXPECT_LT(between_axes(w.tilt_rad, tilt), 1e-6) << tilt;
    EXPECT_NEAR(w.centroid_x_mm, 0.8, 1e-6);
    EXPECT_NEAR(w.centroid_y_mm, -0.5, 1e-6);
    const BeamWidths flat = beam_widths(flat_top(axes));
    EXPECT_NEAR(flat.major_mm, 4.0, 1e-2) << tilt;
    EXPECT_NEAR(flat.minor_mm, 2.4, 1e-2) << tilt;
  }
}

TEST(BeamWidths, AFaintVeilFarAwayBarelyCountsButItsNoiseMayBeNegative) {
  // Zero-mean noise of 0.5 % of the peak over a picture 8 times as wide as the beam. Without the window it would weigh
  // on the widths with the picture's width squared; cut at zero it would add a veil.
  constexpr double noise = 0.005;
  auto image = gaussian({.a_mm = 1.25, .b_mm = 1.25});
  auto cut = image;
  base::Stream stream(7, 1, 1);
  for (std::size_t i = 0; i < image.value.size(); ++i) {
    image.value[i] += noise * std::sqrt(12.0) * (stream.uniform() - 0.5);
    cut.value[i] = std::max(0.0, image.value[i]);
  }
  const BeamWidths w = beam_widths(image);
  ASSERT_TRUE(w.converged);
  // Standard error of the second moment s = sum x^2 E / sum E, from pixels of side p whose noise has the deviation v,
  // in a square of half side h = 3.75 mm: v p sqrt(integral of (x^2 - s)^2 dA) / P with P = pi w^2 / 2. Here s = w^2 /
  // 4 and se(s) = 0.00459 mm2, so se(d) = 2 se(s) / sqrt(s) = 0.0147 mm. The larger and the smaller of two axes lie
  // further out than a chosen one: five of them, false alarms below 1e-4.
  EXPECT_NEAR(w.major_mm, 2.5, 5 * 0.0147);
  EXPECT_NEAR(w.minor_mm, 2.5, 5 * 0.0147);
  EXPECT_GT(beam_widths(cut).major_mm, 2.6);
}

TEST(BeamWidths, NoLightNoWidth) {
  const BeamWidths w = beam_widths(blank_image(20, 20, 0.1));
  EXPECT_FALSE(w.converged);
  EXPECT_EQ(w.major_mm, 0);
  EXPECT_EQ(w.minor_mm, 0);
}

/// A whole number drawn between two bounds, as a number of `step`s.
double drawn(int from, int to, double step) { return step * *rc::gen::inRange(from, to + 1); }

RC_GTEST_PROP(BeamWidths, MovedTheCentroidMovesAndTheWidthsStay, ()) {
  const Axes here{.a_mm = drawn(10, 20, 0.1), .b_mm = drawn(10, 20, 0.1), .tilt_rad = drawn(-15, 15, 0.1)};
  Axes there = here;
  there.x_mm = drawn(-20, 20, 0.1);
  there.y_mm = drawn(-20, 20, 0.1);
  const BeamWidths a = beam_widths(gaussian(here, 200, 0.1));
  const BeamWidths b = beam_widths(gaussian(there, 200, 0.1));
  RC_ASSERT(std::abs(a.major_mm - b.major_mm) < 1e-3);
  RC_ASSERT(std::abs(a.minor_mm - b.minor_mm) < 1e-3);
  RC_ASSERT(std::abs(b.centroid_x_mm - there.x_mm) < 1e-4);
  RC_ASSERT(std::abs(b.centroid_y_mm - there.y_mm) < 1e-4);
}

RC_GTEST_PROP(BeamWidths, TurnedTheTiltTurnsAndTheWidthsStay, ()) {
  Axes axes{.a_mm = drawn(15, 20, 0.1), .b_mm = drawn(8, 12, 0.1), .tilt_rad = 0};
  const BeamWidths upright = beam_widths(gaussian(axes, 200, 0.1));
  axes.tilt_rad = drawn(-30, 30, 0.1);
  const BeamWidths turned = beam_widths(gaussian(axes, 200, 0.1));
  RC_ASSERT(std::abs(turned.major_mm - upright.major_mm) < 1e-3);
  RC_ASSERT(std::abs(turned.minor_mm - upright.minor_mm) < 1e-3);
  RC_ASSERT(between_axes(turned.tilt_rad - upright.tilt_rad, axes.tilt_rad) < 1e-4);
}

RC_GTEST_PROP(BeamWidths, LengthsGoWithThePixelAndBrightnessWithNothing, ()) {
  BeamImage image = flat_top({.x_mm = drawn(-20, 20, 0.1), .a_mm = drawn(10, 30, 0.1), .b_mm = 2}, 120, 0.1);
  const BeamWidths before = beam_widths(image);
  const double scale = drawn(2, 40, 0.25);
  image.mm_per_pixel *= scale;
  for (double& v : image.value) v *= 37;
  const BeamWidths after = beam_widths(image);
  RC_ASSERT(std::abs(after.major_mm / before.major_mm / scale - 1) < 1e-9);
  RC_ASSERT(std::abs(after.minor_mm / before.minor_mm / scale - 1) < 1e-9);
  RC_ASSERT(std::abs(after.centroid_x_mm - scale * before.centroid_x_mm) < 1e-9 * scale);
}

}  // namespace
}  // namespace throughcure::optics
