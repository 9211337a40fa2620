#include "throughcure/optics/source.hpp"

#include <utility>

#include "throughcure/optics/axial_view.hpp"

namespace throughcure::optics {

TipSource tip_source(TipMap map, const AngularShape& shape) {
  return {.map = std::move(map),
          .shape = shape,
          .core_factor = (1 - shape.tail_share) * lobe_factor(shape.core_exponent),
          .tail_factor = shape.tail_share * lobe_factor(shape.tail_exponent)};
}

TipSource tip_source(const Light& light) { return tip_source(tip_map(light.beam, light.tip_diameter_mm), light.shape); }

TipRay sample(const TipSource& source, double u1, double u2, double u3, double u4) {
  const DiscPlace place = sample_place(source.map, u1, u2);
  // The first part of u3 chooses the lobe; what is left of it chooses the angle.
  const double tail = source.shape.tail_share;
  const bool in_tail = u3 < tail;
  const double u = in_tail ? u3 / tail : (u3 - tail) / (1 - tail);
  const double exponent = in_tail ? source.shape.tail_exponent : source.shape.core_exponent;
  const double c = std::pow(1 - u, 1 / (exponent + 2));
  const double s = std::sqrt(std::max(0.0, 1 - c * c));
  const double turn = 2 * std::numbers::pi * u4;
  return {.x_mm = place.x,
          .y_mm = place.y,
          .direction = {s * std::cos(turn), s * std::sin(turn), c},
          .density = source.radiance_per_mw(place.x, place.y, c) * c};
}

double irradiance_per_mw(const TipSource& source, double distance_mm, double sensor_radius_mm) {
  return irradiance_per_mw(axial_view(source.map, distance_mm, sensor_radius_mm), source.shape);
}

}  // namespace throughcure::optics
