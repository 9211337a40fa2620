#include "throughcure/draw/beam_field.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace throughcure::draw {

namespace {

/// Mean of the picture over a square of `side` about a place, from 5 x 5 points.
double mean_about(const optics::BeamImage& image, double x_mm, double y_mm, double side_mm) {
  constexpr int points = 5;
  double sum = 0;
  for (int b = 0; b < points; ++b) {
    for (int a = 0; a < points; ++a) {
      const auto off = [&](int k) { return side_mm * ((k + 0.5) / points - 0.5); };
      sum += value_at_mm(image, x_mm + off(a), y_mm + off(b));
    }
  }
  return sum / (points * points);
}

}  // namespace

Lattice sampled(const optics::BeamImage& image, double half_mm, std::size_t across) {
  Lattice field{.first = {-half_mm, -half_mm},
                .step_mm = 2 * half_mm / static_cast<double>(across - 1),
                .columns = across,
                .rows = across,
                .value = {}};
  field.value.reserve(across * across);
  for (std::size_t j = 0; j < across; ++j) {
    for (std::size_t i = 0; i < across; ++i) {
      field.value.push_back(mean_about(image, -half_mm + field.step_mm * static_cast<double>(i),
                                       -half_mm + field.step_mm * static_cast<double>(j), field.step_mm));
    }
  }
  return field;
}

Range range_within(const Lattice& field, double radius_mm) {
  Range range{std::numeric_limits<double>::infinity(), 0};
  for (std::size_t j = 0; j < field.rows; ++j) {
    for (std::size_t i = 0; i < field.columns; ++i) {
      const double x = field.first.x_mm + field.step_mm * static_cast<double>(i);
      const double y = field.first.y_mm + field.step_mm * static_cast<double>(j);
      if (std::hypot(x, y) > radius_mm) continue;
      range.least = std::min(range.least, field.at(i, j));
      range.most = std::max(range.most, field.at(i, j));
    }
  }
  return range;
}

Lattice held_beyond(Lattice field, const optics::BeamImage& image, double radius_mm) {
  for (std::size_t j = 0; j < field.rows; ++j) {
    for (std::size_t i = 0; i < field.columns; ++i) {
      const double x = field.first.x_mm + field.step_mm * static_cast<double>(i);
      const double y = field.first.y_mm + field.step_mm * static_cast<double>(j);
      const double r = std::hypot(x, y);
      if (r <= radius_mm) continue;
      field.value[j * field.columns + i] = mean_about(image, x * radius_mm / r, y * radius_mm / r, field.step_mm);
    }
  }
  return field;
}

}  // namespace throughcure::draw
