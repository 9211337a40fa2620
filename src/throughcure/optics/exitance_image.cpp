#include "throughcure/optics/exitance_image.hpp"

#include <algorithm>
#include <variant>

#include "throughcure/optics/tip_map.hpp"

namespace throughcure::optics {

namespace {

/// The form alone: a picture as it is, or a beam of a formula painted into one.
BeamImage form_of(const Light& light) {
  if (const auto* picture = std::get_if<BeamImage>(&light.beam)) return *picture;
  constexpr std::size_t across = 401;  // the stairs of the rim then cost a thousandth of the widths at most
  const TipMap map = tip_map(light.beam, light.tip_diameter_mm);
  BeamImage image = blank_image(across, across, light.tip_diameter_mm / across);
  for (std::size_t row = 0; row < across; ++row) {
    for (std::size_t column = 0; column < across; ++column) {
      image.value[row * across + column] = map.at(image.x_mm(column), -image.y_mm(row));
    }
  }
  return image;
}

}  // namespace

BeamImage exitance_image(const Light& light) {
  BeamImage image = form_of(light);
  double inside = 0;
  for (std::size_t row = 0; row < image.height; ++row) {
    for (std::size_t column = 0; column < image.width; ++column) {
      if (on_tip(image, column, row, light.tip_diameter_mm / 2)) inside += std::max(0.0, image.at(column, row));
    }
  }
  const double pixel_cm2 = image.mm_per_pixel * image.mm_per_pixel / 100;
  const double scale = light.radiant_power_mw.value / (inside * pixel_cm2);
  for (double& value : image.value) value *= scale;
  return image;
}

}  // namespace throughcure::optics
