// A picture of the tip's own plane: relative irradiance, pixel by pixel.
#pragma once

#include <cstddef>
#include <vector>

namespace throughcure::optics {

/// Row-major, first row on top; x to the right, y downwards (as pictures are kept). Values are relative and have the
/// dark frame taken off already; small negative ones are noise and stay (ISO 11146-3: cutting them biases the widths).
struct BeamImage {
  std::size_t width = 0;
  std::size_t height = 0;
  double mm_per_pixel = 0;
  double tip_centre_x_px = 0;  ///< where the tip's axis meets the picture; the middle of the first pixel is 0
  double tip_centre_y_px = 0;
  std::vector<double> value;

  [[nodiscard]] double at(std::size_t column, std::size_t row) const { return value[row * width + column]; }
  [[nodiscard]] double x_mm(std::size_t column) const {
    return (static_cast<double>(column) - tip_centre_x_px) * mm_per_pixel;
  }
  [[nodiscard]] double y_mm(std::size_t row) const {
    return (static_cast<double>(row) - tip_centre_y_px) * mm_per_pixel;
  }
};

/// A picture of the given size with the tip's axis in its middle and every value zero.
BeamImage blank_image(std::size_t width, std::size_t height, double mm_per_pixel);

/// Value at a place in mm from the tip's axis, linear between pixel middles; 0 outside the picture.
double value_at_mm(const BeamImage& image, double x_mm, double y_mm);

/// Mean of the four corners, each a twentieth of the width by a twentieth of the height (one pixel at least): what is
/// taken for the background where no dark frame was kept.
double corner_background(const BeamImage& image);

/// The same picture with `background` taken off every pixel.
BeamImage without_background(BeamImage image, double background);

}  // namespace throughcure::optics
