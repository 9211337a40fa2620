#include "throughcure/draw/isolines.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <utility>

namespace throughcure::draw {

namespace {

/// A side of a cell, shared with its neighbour: horizontal from the node to the
/// right, or vertical from it downwards.
using Side = std::size_t;

/// Where lines cross the sides of the lattice, and which crossing follows
/// which.
class Tracer {
 public:
  Tracer(const Lattice& field, double level) : field_(field), level_(level) {}

  void add_cell(std::size_t i, std::size_t j) {
    // Corners and sides run clockwise from the top left, as one looks at it
    // with y downwards.
    const std::array<double, 4> v = {field_.at(i, j), field_.at(i + 1, j), field_.at(i + 1, j + 1),
                                     field_.at(i, j + 1)};
    const std::array<Side, 4> side = {across(i, j), down(i + 1, j), across(i, j + 1), down(i, j)};
    std::array<Side, 2> enter{};
    std::array<Side, 2> leave{};
    std::size_t count = 0;
    // Walking round the cell, the line leaves it where the walk goes down and
    // enters it where the walk goes up again. The neighbour's walk passes the
    // same side the other way round, so the lines join, higher values on their
    // left.
    for (std::size_t k = 0; k < 4; ++k) {
      const bool here = v[k] >= level_;
      const bool next = v[(k + 1) % 4] >= level_;
      if (!here || next) continue;
      // The walk goes down through side k; find where it goes up next: two ends
      // of one low run of corners.
      std::size_t up = k + 1;
      while (v[(up + 1) % 4] < level_) ++up;
      leave[count] = side[k];
      enter[count] = side[up % 4];
      ++count;
    }
    if (count == 2 && (v[0] + v[1] + v[2] + v[3]) / 4 < level_) std::swap(enter[0], enter[1]);
    for (std::size_t k = 0; k < count; ++k) {
      next_[enter[k]] = leave[k];
      before_[leave[k]] = enter[k];
    }
  }

  std::vector<Isoline> lines() {
    std::vector<Isoline> out;
    // First those that begin at the lattice's edge, then what is left: rings.
    for (auto it = next_.begin(); it != next_.end();) {
      const Side from = it->first;
      if (!before_.contains(from)) out.push_back(trace(from));
      it = next_.upper_bound(from);
    }
    while (!next_.empty()) out.push_back(trace(next_.begin()->first));
    return out;
  }

 private:
  [[nodiscard]] Side across(std::size_t i, std::size_t j) const { return 2 * (j * field_.columns + i); }
  [[nodiscard]] Side down(std::size_t i, std::size_t j) const { return 2 * (j * field_.columns + i) + 1; }

  [[nodiscard]] Place crossing(Side side) const {
    const std::size_t node = side / 2;
    const bool vertical = side % 2 == 1;
    const double a = field_.value[node];
    const double b = field_.value[vertical ? node + field_.columns : node + 1];
    const double t = (level_ - a) / (b - a);  // they lie on two sides of the level, so they differ
    const std::size_t row = node / field_.columns;
    const double x = static_cast<double>(node % field_.columns) + (vertical ? 0 : t);
    const double y = static_cast<double>(row) + (vertical ? t : 0);
    return {field_.first.x_mm + field_.step_mm * x, field_.first.y_mm + field_.step_mm * y};
  }

  Isoline trace(Side from) {
    Isoline out;
    Side here = from;
    out.line.push_back(crossing(here));
    for (auto it = next_.find(here); it != next_.end(); it = next_.find(here)) {
      here = it->second;
      next_.erase(it);
      if (here == from) {
        out.closed = true;
        break;
      }
      out.line.push_back(crossing(here));
    }
    return out;
  }

  const Lattice& field_;
  double level_;
  std::map<Side, Side> next_;
  std::map<Side, Side> before_;
};

}  // namespace

std::vector<Isoline> isolines(const Lattice& field, double level) {
  Tracer tracer(field, level);
  for (std::size_t j = 0; j + 1 < field.rows; ++j) {
    for (std::size_t i = 0; i + 1 < field.columns; ++i) tracer.add_cell(i, j);
  }
  return tracer.lines();
}

std::vector<Isoline> inside_circle(const Isoline& whole, double radius_mm) {
  const auto inside = [&](const Place& p) { return std::hypot(p.x_mm, p.y_mm) <= radius_mm; };
  const bool all = std::all_of(whole.line.begin(), whole.line.end(), inside);
  if (all) return {whole};
  std::vector<Isoline> pieces;
  Line piece;
  const auto finish = [&] {
    if (piece.size() > 1) pieces.push_back({std::exchange(piece, {}), false});
    piece.clear();
  };
  Line line = whole.line;
  if (whole.closed) {
    // Begin outside, so that no piece is cut where the ring happens to begin.
    std::rotate(line.begin(), std::find_if_not(line.begin(), line.end(), inside), line.end());
    line.push_back(line.front());
  }
  for (const Place& place : line) {
    if (inside(place)) {
      piece.push_back(place);
    } else {
      finish();
    }
  }
  finish();
  return pieces;
}

double length_mm(const Line& line) {
  double sum = 0;
  for (std::size_t i = 1; i < line.size(); ++i) {
    sum += std::hypot(line[i].x_mm - line[i - 1].x_mm, line[i].y_mm - line[i - 1].y_mm);
  }
  return sum;
}

}  // namespace throughcure::draw
