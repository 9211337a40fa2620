#include "throughcure/draw/picture.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace throughcure::draw {

Line circle(Place middle, double radius_mm) {
  // A chord over the angle a lies r a^2 / 8 below its arc.
  const double wanted = std::numbers::pi / std::sqrt(2 * 0.01 / std::max(radius_mm, 0.01));
  const int corners = std::max(24, static_cast<int>(std::ceil(wanted)));
  Line line;
  line.reserve(static_cast<std::size_t>(corners));
  for (int k = 0; k < corners; ++k) {
    const double angle = 2 * std::numbers::pi * k / corners;
    line.push_back({middle.x_mm + radius_mm * std::cos(angle), middle.y_mm + radius_mm * std::sin(angle)});
  }
  return line;
}

}  // namespace throughcure::draw
