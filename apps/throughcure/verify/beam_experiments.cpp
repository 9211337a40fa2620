// Beams that are known in closed form, painted into pictures and measured as the pictures of a real tip are.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "experiments.hpp"
#include "throughcure/optics/beam_widths.hpp"
#include "throughcure/optics/clip_level.hpp"

namespace throughcure::verify {

namespace {

/// Pixels along the rim of an area are in or out at random: 0.3 sqrt(rim in pixels) of them err (standard error), which
/// is below 1e-3 of the areas for the pictures here; three of that. Widths go as the root of an area.
constexpr double kPixelShare = 3e-3;
constexpr double kDegrees = 0.01;
constexpr double kDegree = std::numbers::pi / 180;

optics::BeamImage painted(const exchange::PaintedBeam& beam) {
  optics::BeamImage image = optics::blank_image(beam.pixels, beam.pixels, beam.mm_per_pixel);
  const double c = std::cos(beam.tilt_deg * kDegree);
  const double s = std::sin(beam.tilt_deg * kDegree);
  for (std::size_t row = 0; row < beam.pixels; ++row) {
    for (std::size_t column = 0; column < beam.pixels; ++column) {
      const double dx = image.x_mm(column) - beam.x_mm;
      const double dy = image.y_mm(row) - beam.y_mm;
      const double along = (c * dx + s * dy) / beam.a_mm;
      const double across = (c * dy - s * dx) / beam.b_mm;
      const double q2 = along * along + across * across;
      image.value[row * beam.pixels + column] = beam.flat_top ? (q2 <= 1 ? 1.0 : 0.0) : std::exp(-2 * q2);
    }
  }
  return image;
}

/// The error of the painting, by the size of what was measured; a pixel's share for a value that may be zero.
Answer measured(double value) { return {.value = value, .tolerance = std::max(kPixelShare * std::abs(value), 1e-6)}; }

}  // namespace

Answer answer(const exchange::BeamWidthQuestion& question) {
  using enum exchange::BeamWidthQuestion::Quantity;
  const optics::BeamWidths widths = optics::beam_widths(painted(question.beam));
  if (!widths.converged) return {};
  const double pixel = question.beam.mm_per_pixel;
  switch (question.quantity) {
    case kLarger:
      return measured(widths.major_mm);
    case kSmaller:
      return measured(widths.minor_mm);
    case kTiltDeg:
      return {.value = widths.tilt_rad / kDegree, .tolerance = kDegrees};
    case kCentroidX:
      return {.value = widths.centroid_x_mm, .tolerance = kPixelShare * pixel};
    case kCentroidY:
      return {.value = widths.centroid_y_mm, .tolerance = kPixelShare * pixel};
  }
  return {};
}

Answer answer(const exchange::ClipLevelQuestion& question) {
  using enum exchange::ClipLevelQuestion::Quantity;
  const optics::BeamImage image = painted(question.beam);
  if (question.quantity == kEdgeSteepness) return measured(optics::edge_steepness(image));
  const optics::ClipLevel found = optics::clip_level(image, question.level);
  switch (question.quantity) {
    case kArea:
      return measured(found.area_mm2);
    case kFractionalPower:
      return measured(found.fractional_power);
    case kFlatness:
      return measured(found.flatness);
    case kUniformity:
      return measured(found.uniformity);
    case kEdgeSteepness:
      break;
  }
  return {};
}

}  // namespace throughcure::verify
