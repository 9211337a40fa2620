// Points, free vectors and unit directions in millimetres: a point cannot be added to a point.
#pragma once

#include <cmath>

namespace throughcure::base {

/// A free vector [mm].
struct Vec {
  double x = 0;
  double y = 0;
  double z = 0;

  constexpr Vec operator+(const Vec& o) const { return {x + o.x, y + o.y, z + o.z}; }
  constexpr Vec operator-(const Vec& o) const { return {x - o.x, y - o.y, z - o.z}; }
  constexpr Vec operator-() const { return {-x, -y, -z}; }
  constexpr Vec operator*(double s) const { return {x * s, y * s, z * s}; }
  constexpr bool operator==(const Vec&) const = default;
};

constexpr Vec operator*(double s, const Vec& v) { return v * s; }
constexpr double dot(const Vec& a, const Vec& b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
constexpr Vec cross(const Vec& a, const Vec& b) {
  return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
inline double length(const Vec& v) { return std::sqrt(dot(v, v)); }

/// A place in the scene [mm].
struct Point {
  double x = 0;
  double y = 0;
  double z = 0;

  constexpr Point operator+(const Vec& v) const { return {x + v.x, y + v.y, z + v.z}; }
  constexpr Point operator-(const Vec& v) const { return {x - v.x, y - v.y, z - v.z}; }
  constexpr Vec operator-(const Point& o) const { return {x - o.x, y - o.y, z - o.z}; }
  constexpr bool operator==(const Point&) const = default;
};

/// A unit vector. Made by `towards` or `unit`; the arithmetic of a photon keeps it unit by construction.
struct Direction {
  double x = 0;
  double y = 0;
  double z = 1;

  constexpr Direction operator-() const { return {-x, -y, -z}; }
  [[nodiscard]] constexpr Vec vec() const { return {x, y, z}; }
  constexpr Vec operator*(double s) const { return {x * s, y * s, z * s}; }
  constexpr bool operator==(const Direction&) const = default;
};

constexpr double dot(const Direction& a, const Direction& b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
constexpr double dot(const Vec& a, const Direction& b) { return a.x * b.x + a.y * b.y + a.z * b.z; }

/// The unit direction of a vector that is not zero.
inline Direction unit(const Vec& v) {
  const double l = length(v);
  return {v.x / l, v.y / l, v.z / l};
}

/// Makes a direction unit again that rounding took off by little: one step of Newton's for 1 / length, no root.
/// An error e of the length becomes 1.5 e^2.
inline Direction renewed(const Vec& nearly_unit) {
  const double f = 1.5 - 0.5 * dot(nearly_unit, nearly_unit);
  return {nearly_unit.x * f, nearly_unit.y * f, nearly_unit.z * f};
}

/// Two unit directions that with `d` make a right-handed frame (u x v = d).
/// Source: Duff et al. 2017, "Building an Orthonormal Basis, Revisited", JCGT 6(1).
struct Frame {
  Direction u;
  Direction v;
};
inline Frame frame_about(const Direction& d) {
  const double sign = std::copysign(1.0, d.z);
  const double a = -1.0 / (sign + d.z);
  const double b = d.x * d.y * a;
  return {{1.0 + sign * d.x * d.x * a, sign * b, -sign * d.x}, {b, sign + d.y * d.y * a, -d.y}};
}

}  // namespace throughcure::base
