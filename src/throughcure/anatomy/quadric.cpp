#include "throughcure/anatomy/quadric.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace throughcure::anatomy {

namespace {

using base::Direction;
using base::Point;
using base::Vec;

/// f(p) = sum_k weight_k (axis_k . (p - centre))^2 + slope . (p - centre) + offset
Quadric sum_of_squares(const Point& centre, const std::array<Direction, 3>& axes, const std::array<double, 3>& weights,
                       const Vec& slope, double offset) {
  Quadric q;
  for (std::size_t k = 0; k < 3; ++k) {
    const Direction& a = axes[k];
    const double w = weights[k];
    q.A[0] += w * a.x * a.x;
    q.A[1] += w * a.y * a.y;
    q.A[2] += w * a.z * a.z;
    q.A[3] += w * a.x * a.y;
    q.A[4] += w * a.x * a.z;
    q.A[5] += w * a.y * a.z;
  }
  const Vec to_centre{centre.x, centre.y, centre.z};
  const Vec a_centre = times(q.A, centre.x, centre.y, centre.z);
  q.b = slope - 2.0 * a_centre;
  q.c = dot(a_centre, to_centre) - dot(slope, to_centre) + offset;
  q.bend = std::max({weights[0], weights[1], weights[2]});
  return q;
}

}  // namespace

Quadric half_space(const Point& point, const Direction& outward) {
  Quadric q;
  q.b = outward.vec();
  q.c = -dot(Vec{point.x, point.y, point.z}, outward);
  return q;
}

Quadric ellipsoid(const Point& centre, const std::array<Direction, 3>& axes, const std::array<double, 3>& radii_mm) {
  // Scaled by the smallest radius, so that f is near the distance [mm] close to the surface there.
  const double scale = std::min({radii_mm[0], radii_mm[1], radii_mm[2]}) / 2;
  std::array<double, 3> weights{};
  for (std::size_t k = 0; k < 3; ++k) weights[k] = std::isinf(radii_mm[k]) ? 0 : scale / (radii_mm[k] * radii_mm[k]);
  return sum_of_squares(centre, axes, weights, {}, -scale);
}

Quadric ellipsoid(const Point& centre, const std::array<double, 3>& radii_mm) {
  return ellipsoid(centre, {Direction{1, 0, 0}, Direction{0, 1, 0}, Direction{0, 0, 1}}, radii_mm);
}

Quadric cylinder(const Point& point, const Direction& axis, double radius_mm) {
  const base::Frame frame = base::frame_about(axis);
  const double scale = radius_mm / 2;
  const double w = scale / (radius_mm * radius_mm);
  return sum_of_squares(point, {frame.u, frame.v, axis}, {w, w, 0}, {}, -scale);
}

Quadric paraboloid(const Point& tip, const Direction& axis, const Direction& across, double height_mm,
                   double radius_across_mm, double radius_other_mm) {
  const Direction other = base::unit(cross(axis.vec(), across.vec()));
  return sum_of_squares(
      tip, {across, other, axis},
      {height_mm / (radius_across_mm * radius_across_mm), height_mm / (radius_other_mm * radius_other_mm), 0},
      -axis.vec(), 0);
}

}  // namespace throughcure::anatomy
