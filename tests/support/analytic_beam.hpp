// Beams whose widths and clip-level values are known in closed form, painted into pictures.
#pragma once

#include <cmath>
#include <cstddef>

#include "throughcure/optics/beam_image.hpp"

namespace throughcure::test {

/// A beam of two axes about (x, y), turned by `tilt_rad` from the picture's x axis towards its y axis.
struct Axes {
  double x_mm = 0;
  double y_mm = 0;
  double a_mm = 0;  ///< 1/e^2 radius of a Gaussian, or half axis of a flat top, along the turned x axis
  double b_mm = 0;  ///< the same along the turned y axis
  double tilt_rad = 0;
};

/// Fills a picture of `pixels` x `pixels` with `form(q)`, q^2 = (u / a)^2 + (v / b)^2 in the beam's own axes.
template <class Form>
optics::BeamImage paint(const Axes& axes, std::size_t pixels, double mm_per_pixel, Form form) {
  auto image = optics::blank_image(pixels, pixels, mm_per_pixel);
  const double c = std::cos(axes.tilt_rad);
  const double s = std::sin(axes.tilt_rad);
  for (std::size_t row = 0; row < pixels; ++row) {
    for (std::size_t column = 0; column < pixels; ++column) {
      const double dx = image.x_mm(column) - axes.x_mm;
      const double dy = image.y_mm(row) - axes.y_mm;
      image.value[row * pixels + column] =
          form(std::hypot((c * dx + s * dy) / axes.a_mm, (c * dy - s * dx) / axes.b_mm));
    }
  }
  return image;
}

inline optics::BeamImage gaussian(const Axes& axes, std::size_t pixels = 400, double mm_per_pixel = 0.05) {
  return paint(axes, pixels, mm_per_pixel, [](double q) { return std::exp(-2 * q * q); });
}

inline optics::BeamImage flat_top(const Axes& axes, std::size_t pixels = 400, double mm_per_pixel = 0.05) {
  return paint(axes, pixels, mm_per_pixel, [](double q) { return q <= 1 ? 1.0 : 0.0; });
}

}  // namespace throughcure::test
