#include "throughcure/anatomy/section.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <utility>

namespace throughcure::anatomy {

namespace {

using Spot = std::array<double, 2>;

std::size_t count(double length_mm, double step_mm) {
  return static_cast<std::size_t>(std::max(1.0, std::ceil(length_mm / step_mm - 1e-9)));
}

/// A grid of nodes over the rectangle and one spacing beyond it, where nothing is inside: so every outline closes.
class Squares {
 public:
  Squares(const SectionPlane& plane, double spacing, std::function<bool(const Spot&)> inside)
      : spacing_(spacing),
        columns_(count(plane.width_mm, spacing) + 3),
        rows_(count(plane.height_mm, spacing) + 3),
        inside_(std::move(inside)),
        held_(columns_ * rows_) {
    for (std::size_t row = 0; row < rows_; ++row) {
      for (std::size_t column = 0; column < columns_; ++column) {
        held_[row * columns_ + column] = inside_(spot(column, row));
      }
    }
  }

  /// What is inside is known at the nodes already: row by row, those beyond the rectangle included.
  Squares(const SectionPlane& plane, double spacing, std::function<bool(const Spot&)> inside, std::vector<bool> held)
      : spacing_(spacing),
        columns_(count(plane.width_mm, spacing) + 3),
        rows_(count(plane.height_mm, spacing) + 3),
        inside_(std::move(inside)),
        held_(std::move(held)) {}

  std::vector<Outline> outlines() {
    for (std::size_t row = 0; row + 1 < rows_; ++row) {
      for (std::size_t column = 0; column + 1 < columns_; ++column) add_square(column, row);
    }
    return join();
  }

 private:
  /// An edge of the grid: from a node to the next one to the right (even) or down (odd).
  using Edge = std::size_t;
  static constexpr Edge kNone = static_cast<Edge>(-1);

  [[nodiscard]] Spot spot(std::size_t column, std::size_t row) const {
    return {(static_cast<double>(column) - 1) * spacing_, (static_cast<double>(row) - 1) * spacing_};
  }
  [[nodiscard]] Edge to_right(std::size_t column, std::size_t row) const { return 2 * (row * columns_ + column); }
  [[nodiscard]] Edge to_below(std::size_t column, std::size_t row) const { return 2 * (row * columns_ + column) + 1; }

  /// Adds the pieces of outline in one square: walking round it clockwise, one begins where the walk comes out of the
  /// medium and ends where it went in; with two of each, every one ends at the entry just before, which keeps corners
  /// that touch apart.
  void add_square(std::size_t column, std::size_t row) {
    const std::array<bool, 4> held{held_[row * columns_ + column], held_[row * columns_ + column + 1],
                                   held_[(row + 1) * columns_ + column + 1], held_[(row + 1) * columns_ + column]};
    const std::array<Edge, 4> sides{to_right(column, row), to_below(column + 1, row), to_right(column, row + 1),
                                    to_below(column, row)};
    for (std::size_t out = 0; out < 4; ++out) {
      if (!held[out] || held[(out + 1) % 4]) continue;
      std::size_t in = (out + 3) % 4;  // back to the side where the walk came in
      while (held[in] || !held[(in + 1) % 4]) in = (in + 3) % 4;
      next_.resize(2 * columns_ * rows_, kNone);
      next_[sides[out]] = sides[in];
    }
  }

  std::vector<Outline> join() {
    std::vector<Outline> lines;
    for (Edge first = 0; first < next_.size(); ++first) {
      if (next_[first] == kNone) continue;
      Outline line;
      for (Edge edge = first; next_[edge] != kNone;) {
        line.push_back(crossing(edge));
        edge = std::exchange(next_[edge], kNone);
      }
      lines.push_back(std::move(line));
    }
    return lines;
  }

  /// Where the boundary crosses an edge, by halving.
  [[nodiscard]] Spot crossing(Edge edge) const {
    const std::size_t node = edge / 2;
    Spot low = spot(node % columns_, node / columns_);
    Spot high = low;
    high[edge % 2] += spacing_;
    if (!held_[node]) std::swap(low, high);
    for (int halving = 0; halving < 20; ++halving) {
      const Spot middle{(low[0] + high[0]) / 2, (low[1] + high[1]) / 2};
      (inside_(middle) ? low : high) = middle;
    }
    return low;
  }

  double spacing_;
  std::size_t columns_;
  std::size_t rows_;
  std::function<bool(const Spot&)> inside_;
  std::vector<bool> held_;
  std::vector<Edge> next_;  ///< the edge that an outline goes to from each edge
};

bool in(const SectionPlane& plane, const Spot& s) {
  return s[0] >= 0 && s[1] >= 0 && s[0] <= plane.width_mm && s[1] <= plane.height_mm;
}

}  // namespace

Section cut(const Scene& scene, const SectionPlane& plane, double mm_per_pixel) {
  Section section{plane, mm_per_pixel, count(plane.width_mm, mm_per_pixel), count(plane.height_mm, mm_per_pixel), {},
                  {}};
  section.solids.reserve(section.columns * section.rows);
  section.media.reserve(section.columns * section.rows);
  for (std::size_t row = 0; row < section.rows; ++row) {
    for (std::size_t column = 0; column < section.columns; ++column) {
      const std::uint32_t solid = scene.solid_at(plane.at((static_cast<double>(column) + 0.5) * mm_per_pixel,
                                                          (static_cast<double>(row) + 0.5) * mm_per_pixel));
      section.solids.push_back(solid);
      section.media.push_back(scene.medium_of(solid));
    }
  }
  return section;
}

std::vector<Outline> outlines(const Scene& scene, const SectionPlane& plane, double spacing_mm, MediumId medium) {
  return Squares(plane, spacing_mm,
                 [&](const Spot& s) { return in(plane, s) && scene.medium_at(plane.at(s[0], s[1])) == medium; })
      .outlines();
}

std::vector<std::vector<Outline>> all_outlines(const Scene& scene, const SectionPlane& plane, double spacing_mm) {
  constexpr MediumId kBeyond = std::numeric_limits<MediumId>::max();
  const std::size_t columns = count(plane.width_mm, spacing_mm) + 3;
  const std::size_t rows = count(plane.height_mm, spacing_mm) + 3;
  std::vector<MediumId> media;
  media.reserve(columns * rows);
  for (std::size_t row = 0; row < rows; ++row) {
    for (std::size_t column = 0; column < columns; ++column) {
      const Spot s{(static_cast<double>(column) - 1) * spacing_mm, (static_cast<double>(row) - 1) * spacing_mm};
      media.push_back(in(plane, s) ? scene.medium_at(plane.at(s[0], s[1])) : kBeyond);
    }
  }
  std::vector<std::vector<Outline>> lines;
  for (std::size_t m = 0; m < scene.medium_names.size(); ++m) {
    const auto medium = static_cast<MediumId>(m);
    std::vector<bool> held(media.size());
    std::transform(media.begin(), media.end(), held.begin(), [&](MediumId one) { return one == medium; });
    const auto inside = [&, medium](const Spot& s) {
      return in(plane, s) && scene.medium_at(plane.at(s[0], s[1])) == medium;
    };
    lines.push_back(Squares(plane, spacing_mm, inside, std::move(held)).outlines());
  }
  return lines;
}

}  // namespace throughcure::anatomy
