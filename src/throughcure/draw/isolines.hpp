// Lines of equal value through a field of numbers.
#pragma once

#include <cstddef>
#include <vector>

#include "throughcure/draw/picture.hpp"

namespace throughcure::draw {

/// Values at the nodes of a square lattice, row by row; the first node lies at
/// `first`, the rows follow at +y.
struct Lattice {
  Place first;
  double step_mm = 0;
  std::size_t columns = 0;
  std::size_t rows = 0;
  std::vector<double> value;  ///< columns x rows

  [[nodiscard]] double at(std::size_t column, std::size_t row) const { return value[row * columns + column]; }
};

/// One connected line; the last place of a closed one joins the first.
struct Isoline {
  Line line;
  bool closed = false;
};

/// All lines where the field passes `level`, straight inside each cell of the
/// lattice (marching squares). A node at the level counts as above it; a saddle
/// is parted by the mean of its four nodes. Lines end only at the lattice's
/// edge. Higher values lie on the left of a line's course, as one looks at the
/// sheet. The order is that of the lattice.
std::vector<Isoline> isolines(const Lattice& field, double level);

/// What of a line lies inside the circle about the origin, in pieces of two places or more, as close to the circle as
/// the line's own places are.
std::vector<Isoline> inside_circle(const Isoline& whole, double radius_mm);

/// Along its places, from the first to the last [mm].
double length_mm(const Line& line);

}  // namespace throughcure::draw
