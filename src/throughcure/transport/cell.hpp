// A target cell: a small ball inside one solid, in which the mean fluence rate is wanted.
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>

#include "throughcure/base/random.hpp"
#include "throughcure/base/vec3.hpp"
#include "throughcure/transport/optics_laws.hpp"

namespace throughcure::transport {

struct Cell {
  base::Point centre;
  double radius_mm = 0.1;
};

inline double volume_mm3(const Cell& cell) {
  return 4 * std::numbers::pi / 3 * cell.radius_mm * cell.radius_mm * cell.radius_mm;
}

/// A point drawn uniformly inside the cell.
inline base::Point point_inside(const Cell& cell, base::Stream& random) {
  const double r = cell.radius_mm * std::cbrt(random.uniform());
  return cell.centre + isotropic(random.uniform(), random.uniform()) * r;
}

/// The part [from, to] of a flight of `length` that lies inside the cell; from >= to when it misses.
struct Passage {
  double from = 0;
  double to = 0;
};
inline Passage passage(const Cell& cell, const base::Point& r, const base::Direction& u, double length) {
  const base::Vec off = r - cell.centre;
  const double h = dot(off, u);
  const double root = h * h - dot(off, off) + cell.radius_mm * cell.radius_mm;
  if (root <= 0) return {};
  const double half = std::sqrt(root);
  return {std::max(0.0, -h - half), std::min(length, -h + half)};
}

}  // namespace throughcure::transport
