#include "throughcure/optics/beam_image.hpp"

#include <algorithm>
#include <cmath>

namespace throughcure::optics {

BeamImage blank_image(std::size_t width, std::size_t height, double mm_per_pixel) {
  return {width,
          height,
          mm_per_pixel,
          (static_cast<double>(width) - 1) / 2,
          (static_cast<double>(height) - 1) / 2,
          std::vector<double>(width * height, 0.0)};
}

double value_at_mm(const BeamImage& image, double x_mm, double y_mm) {
  const double x = x_mm / image.mm_per_pixel + image.tip_centre_x_px;
  const double y = y_mm / image.mm_per_pixel + image.tip_centre_y_px;
  const auto last_x = static_cast<double>(image.width - 1);
  const auto last_y = static_cast<double>(image.height - 1);
  // Half a pixel beyond the outer middles still belongs to the outer pixels.
  if (x < -0.5 || y < -0.5 || x > last_x + 0.5 || y > last_y + 0.5) return 0;
  const double cx = std::clamp(x, 0.0, last_x);
  const double cy = std::clamp(y, 0.0, last_y);
  const auto i0 = static_cast<std::size_t>(cx);
  const auto j0 = static_cast<std::size_t>(cy);
  const std::size_t i1 = std::min(i0 + 1, image.width - 1);
  const std::size_t j1 = std::min(j0 + 1, image.height - 1);
  const double tx = cx - static_cast<double>(i0);
  const double ty = cy - static_cast<double>(j0);
  return (1 - ty) * ((1 - tx) * image.at(i0, j0) + tx * image.at(i1, j0)) +
         ty * ((1 - tx) * image.at(i0, j1) + tx * image.at(i1, j1));
}

double corner_background(const BeamImage& image) {
  const std::size_t w = std::max<std::size_t>(1, image.width / 20);
  const std::size_t h = std::max<std::size_t>(1, image.height / 20);
  double sum = 0;
  for (std::size_t j = 0; j < h; ++j) {
    for (std::size_t i = 0; i < w; ++i) {
      sum += image.at(i, j) + image.at(image.width - 1 - i, j) + image.at(i, image.height - 1 - j) +
             image.at(image.width - 1 - i, image.height - 1 - j);
    }
  }
  return sum / (4 * static_cast<double>(w * h));
}

BeamImage without_background(BeamImage image, double background) {
  for (double& v : image.value) v -= background;
  return image;
}

}  // namespace throughcure::optics
