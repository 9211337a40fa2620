#include "throughcure/optics/axial_view.hpp"

#include <boost/math/quadrature/gauss.hpp>

namespace throughcure::optics {

namespace {

/// Calls `visit(node, weight)` for each node of the quadrature of [0, 1].
template <class Visit>
void over_unit_interval(const Visit& visit) {
  using Rule = boost::math::quadrature::gauss<double, 30>;
  const auto& nodes = Rule::abscissa();
  const auto& weights = Rule::weights();
  for (std::size_t i = 0; i < nodes.size(); ++i) {
    visit((1 - nodes[i]) / 2, weights[i] / 2);
    visit((1 + nodes[i]) / 2, weights[i] / 2);
  }
}

/// Adds the terms of a ring of the tip: power `power` by mW, at `rho` from the axis.
void add_ring(AxialView& view, double power, double rho, double distance, double sensor_radius) {
  const double area = std::numbers::pi * sensor_radius * sensor_radius;
  for (int half = 0; half < 2; ++half) {
    over_unit_interval([&](double node, double weight) {
      // The edge runs from 0 to pi (the rest mirrors it), in cubes: what is near the ring's point counts most.
      const double t = (node + half) / 2;
      const double angle = std::numbers::pi * t * t * t;
      const double angle_by_node = std::numbers::pi * 3 * t * t / 2;
      const double sine = std::sin(angle / 2);
      const double gap = rho - sensor_radius;
      const double s2 = gap * gap + 4 * rho * sensor_radius * sine * sine;
      const double turn = sensor_radius * (2 * rho * sine * sine - gap) / s2;
      view.terms.push_back({power / area * weight * angle_by_node * turn / std::numbers::pi,
                            -std::log1p(s2 / (distance * distance)) / 2});
    });
  }
}

/// Calls `visit(rho, power)` for rings of the tip between `near` and `far`, closest to each other at `near`, which may
/// be the larger.
template <class Visit>
void over_rings(const TipMap& map, double near, double far, const Visit& visit) {
  over_unit_interval([&](double t, double weight) {
    const double rho = near + (far - near) * t * t;
    const double width = std::abs(far - near) * 2 * t * weight;
    visit(rho, mean_on_circle(map, rho) * 2 * std::numbers::pi * rho * width);
  });
}

}  // namespace

AxialView axial_view(const TipMap& map, double distance_mm, double sensor_radius_mm) {
  const double tip = map.radius_mm;
  const double sensor = std::max(sensor_radius_mm, tip / 1000);
  const double meeting = std::min(sensor, tip);
  AxialView view;
  if (distance_mm <= 0) {
    // In contact: all that comes out in front of the sensor, whatever its direction.
    over_rings(map, meeting, 0, [&](double /*rho*/, double power) {
      view.terms.push_back({power / (std::numbers::pi * sensor * sensor), -1e9});
    });
    return view;
  }
  const auto add = [&](double rho, double power) { add_ring(view, power, rho, distance_mm, sensor); };
  over_rings(map, meeting, 0, add);
  if (tip > sensor) over_rings(map, meeting, tip, add);
  return view;
}

double irradiance_per_mw(const AxialView& view, double exponent) {
  double sum = 0;
  for (const AxialView::Term& term : view.terms) sum -= term.weight * std::expm1((exponent + 2) * term.log_cos);
  return sum;
}

double irradiance_per_mw(const AxialView& view, const AngularShape& shape) {
  return (1 - shape.tail_share) * irradiance_per_mw(view, shape.core_exponent) +
         shape.tail_share * irradiance_per_mw(view, shape.tail_exponent);
}

}  // namespace throughcure::optics
