// Where on its tip a light comes out: exitance by radiant power over the optical tip, as a density that can be sampled.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <numbers>
#include <vector>

#include "throughcure/optics/light.hpp"

namespace throughcure::optics {

/// A place on the square [-1, 1] x [-1, 1] that stands for the unit disc.
struct SquarePlace {
  double u = 0;
  double v = 0;
};
/// A place on the unit disc.
struct DiscPlace {
  double x = 0;
  double y = 0;
};

// Squares about the middle become circles of the same share of the area, so that a density on the one is a density on
// the other. Source: Shirley and Chiu 1997, "A low distortion map between disk and square" (from memory).
inline SquarePlace to_square(DiscPlace place) {
  const double r = std::sqrt(place.x * place.x + place.y * place.y);
  if (r == 0) return {};
  constexpr double scale = 4 / std::numbers::pi;
  if (std::abs(place.x) >= std::abs(place.y)) {
    const double u = std::copysign(r, place.x);
    return {u, u * scale * std::atan(place.y / place.x)};
  }
  const double v = std::copysign(r, place.y);
  return {v * scale * std::atan(place.x / place.y), v};
}
inline DiscPlace to_disc(SquarePlace place) {
  constexpr double scale = std::numbers::pi / 4;
  if (std::abs(place.u) >= std::abs(place.v)) {
    if (place.u == 0) return {};
    const double angle = scale * place.v / place.u;
    return {place.u * std::cos(angle), place.u * std::sin(angle)};
  }
  const double angle = scale * place.u / place.v;
  return {place.v * std::sin(angle), place.v * std::cos(angle)};
}

/// What a picture says of a tip, over the square that stands for it.
struct TipPicture {
  std::vector<double> node{};     ///< at the nodes of the square, row by row, bilinear between them [1/mm2]
  std::vector<double> row_sum{};  ///< of each row of nodes, the integral from the left up to each node
  std::vector<double> sum{};      ///< the share of the power below each row of nodes
};

/// Exitance for 1 mW of radiant power [1/mm2]; its integral over the tip is 1. Made by `tip_map`. Places are in mm from
/// the tip's axis, x to the right and y upwards for one who looks at the tip's face.
struct TipMap {
  enum class Form : std::uint8_t { kUniform, kGaussian, kPicture };
  static constexpr std::size_t kCells = 128;  ///< of the square that stands for the tip, each way
  static constexpr std::size_t kNodes = kCells + 1;

  Form form = Form::kUniform;
  double radius_mm = 0;
  double peak_per_mm2 = 0;                      ///< uniform: everywhere; Gaussian: on the axis
  double gaussian_rate = 0;                     ///< Gaussian: peak exp(-rate rho^2) [1/mm2]
  std::shared_ptr<const TipPicture> picture{};  ///< shared by the copies: a tip is held in many poses at once

  /// Exitance for 1 mW [1/mm2]; 0 outside the tip.
  [[nodiscard]] double at(double x_mm, double y_mm) const {
    const double rho2 = x_mm * x_mm + y_mm * y_mm;
    if (rho2 > radius_mm * radius_mm) return 0;
    if (form == Form::kUniform) return peak_per_mm2;
    if (form == Form::kGaussian) return peak_per_mm2 * std::exp(-gaussian_rate * rho2);
    const SquarePlace place = to_square({x_mm / radius_mm, y_mm / radius_mm});
    constexpr double half = static_cast<double>(kCells) / 2;
    const double s = std::clamp((place.u + 1) * half, 0.0, 2 * half);
    const double t = std::clamp((place.v + 1) * half, 0.0, 2 * half);
    const auto i = std::min(static_cast<std::size_t>(s), kCells - 1);
    const auto j = std::min(static_cast<std::size_t>(t), kCells - 1);
    const double* low = &picture->node[j * kNodes + i];
    const double* high = low + kNodes;
    const double fs = s - static_cast<double>(i);
    const double ft = t - static_cast<double>(j);
    return (1 - ft) * ((1 - fs) * low[0] + fs * low[1]) + ft * ((1 - fs) * high[0] + fs * high[1]);
  }
};

/// Of a picture the values inside the tip count, never below zero; there must be some light among them. A picture is
/// as seen by one who looks at the tip's face: its rows go downwards, y upwards.
TipMap tip_map(const Beam& beam, double tip_diameter_mm);

/// A place drawn with the density `at`, from two numbers in (0, 1) [mm].
DiscPlace sample_place(const TipMap& map, double u1, double u2);

/// Mean of `at` over the circle of this radius about the axis [1/mm2].
double mean_on_circle(const TipMap& map, double radius_mm);

/// Share [0..1] of a picture's light that lies inside the tip's edge; 0 where the picture holds no net light. A small
/// one says that the scale or the middle of the picture is wrong.
double share_inside_tip(const BeamImage& image, double tip_diameter_mm);

}  // namespace throughcure::optics
