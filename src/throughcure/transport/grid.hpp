// Boxes of equal edge that fill a part of the scene.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>

#include "throughcure/base/vec3.hpp"

namespace throughcure::transport {

/// Cells are numbered with x fastest.
struct Grid {
  base::Point least{};
  double edge_mm = 0.1;
  std::array<std::uint32_t, 3> count{};

  [[nodiscard]] std::size_t cells() const { return std::size_t{count[0]} * count[1] * count[2]; }

  /// Along x, y and z [mm].
  [[nodiscard]] base::Vec size() const { return {edge_mm * count[0], edge_mm * count[1], edge_mm * count[2]}; }

  /// The cell that holds a place; none outside.
  [[nodiscard]] std::optional<std::size_t> cell_at(const base::Point& p) const {
    const double x = (p.x - least.x) / edge_mm;
    const double y = (p.y - least.y) / edge_mm;
    const double z = (p.z - least.z) / edge_mm;
    const bool holds = x >= 0 && y >= 0 && z >= 0 && x < count[0] && y < count[1] && z < count[2];
    if (!holds) return std::nullopt;
    return index(static_cast<std::size_t>(x), static_cast<std::size_t>(y), static_cast<std::size_t>(z));
  }

  /// The same; outside the nearest cell. A grid without cells has none.
  [[nodiscard]] std::size_t nearest_cell(const base::Point& p) const {
    return index(along(p.x - least.x, count[0]), along(p.y - least.y, count[1]), along(p.z - least.z, count[2]));
  }

  [[nodiscard]] base::Point middle(std::size_t cell) const {
    const auto [i, j, k] = place(cell);
    const base::Vec steps{static_cast<double>(i) + 0.5, static_cast<double>(j) + 0.5, static_cast<double>(k) + 0.5};
    return least + steps * edge_mm;
  }

  /// Calls `each(neighbour, axis, side)` for every cell that shares a face with this one; `side` is -1 or 1.
  template <class Each>
  void neighbours(std::size_t cell, Each&& each) const {
    const std::array<std::size_t, 3> step = {1, count[0], std::size_t{count[0]} * count[1]};
    const std::array<std::size_t, 3> at = place(cell);
    for (std::size_t axis = 0; axis < 3; ++axis) {
      if (at[axis] > 0) each(cell - step[axis], axis, -1);
      if (at[axis] + 1 < count[axis]) each(cell + step[axis], axis, 1);
    }
  }

 private:
  [[nodiscard]] std::size_t index(std::size_t i, std::size_t j, std::size_t k) const {
    return (k * count[1] + j) * count[0] + i;
  }
  [[nodiscard]] std::array<std::size_t, 3> place(std::size_t cell) const {
    const std::size_t nx = count[0];
    const std::size_t ny = count[1];
    return {cell % nx, cell / nx % ny, cell / (nx * ny)};
  }
  [[nodiscard]] std::size_t along(double d, std::uint32_t n) const {
    const double cells = d / edge_mm;
    if (!(cells > 0)) return 0;
    return cells >= n ? n - 1 : static_cast<std::size_t>(cells);
  }
};

}  // namespace throughcure::transport
