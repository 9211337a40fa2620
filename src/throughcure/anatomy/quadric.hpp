// A half-space bounded by a plane or by a convex quadric (ellipsoid, cylinder, paraboloid): the only shape we need.
#pragma once

#include <array>
#include <cmath>

#include "throughcure/base/vec3.hpp"

namespace throughcure::anatomy {

/// The points with f(p) <= 0, where f(p) = p'Ap + b'p + c with A positive semidefinite, so the half-space is convex.
/// A plane has A = 0 and |b| = 1: f is then the signed distance [mm].
struct Quadric {
  std::array<double, 6> A{};  ///< xx, yy, zz, xy, xz, yz [1/mm2 times the unit of f]; off-diagonals as in the matrix
  base::Vec b{};
  double c = 0;
  double bend = 0;  ///< an upper bound of A's largest eigenvalue; 0 for a plane

  [[nodiscard]] bool is_plane() const { return bend == 0; }
  bool operator==(const Quadric&) const = default;
};

/// The side of the plane through `point` that `outward` points away from.
Quadric half_space(const base::Point& point, const base::Direction& outward);

/// An ellipsoid about `centre`. `axes` are three orthonormal directions, `radii` the half-lengths along them [mm];
/// an infinite radius leaves that direction free, so this makes elliptic cylinders too.
Quadric ellipsoid(const base::Point& centre, const std::array<base::Direction, 3>& axes,
                  const std::array<double, 3>& radii_mm);

/// An ellipsoid along the axes of the scene.
Quadric ellipsoid(const base::Point& centre, const std::array<double, 3>& radii_mm);

/// The inside of an infinite round cylinder about the line through `point` along `axis`.
Quadric cylinder(const base::Point& point, const base::Direction& axis, double radius_mm);

/// An elliptic paraboloid that opens along `axis` from its tip: inside where the height above the tip is more than
/// (u / radii_u)^2 + (v / radii_v)^2 times `height`, i.e. it has the half-widths `radii` at that height.
Quadric paraboloid(const base::Point& tip, const base::Direction& axis, const base::Direction& across, double height_mm,
                   double radius_across_mm, double radius_other_mm);

inline base::Vec times(const std::array<double, 6>& A, double x, double y, double z) {
  return {A[0] * x + A[3] * y + A[4] * z, A[3] * x + A[1] * y + A[5] * z, A[4] * x + A[5] * y + A[2] * z};
}

inline double value(const Quadric& q, const base::Point& p) {
  const double linear = q.b.x * p.x + q.b.y * p.y + q.b.z * p.z + q.c;
  if (q.is_plane()) return linear;
  const base::Vec ap = times(q.A, p.x, p.y, p.z);
  return ap.x * p.x + ap.y * p.y + ap.z * p.z + linear;
}

inline base::Vec gradient(const Quadric& q, const base::Point& p) {
  if (q.is_plane()) return q.b;
  return 2.0 * times(q.A, p.x, p.y, p.z) + q.b;
}

/// A distance [mm] within which the surface f = 0 surely does not come: exact for a plane, a lower bound otherwise
/// (from |f(p + h) - f(p)| <= |grad f| h + bend h^2).
inline double clearance(const Quadric& q, const base::Point& p) {
  const double f = std::abs(value(q, p));
  if (q.is_plane()) return f;
  const double slope = length(gradient(q, p));
  // The root of bend h^2 + slope h = f, in the form that does not cancel.
  return 2 * f / (slope + std::sqrt(slope * slope + 4 * q.bend * f));
}

/// How far [mm] a point outside the half-space surely is from it; 0 inside. Exact for a plane, otherwise f / |grad f|:
/// a convex f lies above its tangent.
inline double distance_outside(const Quadric& q, const base::Point& p) {
  const double f = value(q, p);
  if (f <= 0 || q.is_plane()) return std::fmax(0.0, f);
  return f / length(gradient(q, p));
}

}  // namespace throughcure::anatomy
