#include "throughcure/optics/beam_widths.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

namespace throughcure::optics {

namespace {

/// A rectangle about (x, y), turned by a tilt: half lengths along its own axes [mm]. Its edge is one pixel wide, so
/// that the moments change smoothly with the window; a hard edge can send the rounds in circles on a noisy picture.
struct Window {
  double x, y, cos_tilt, sin_tilt, half_major, half_minor, edge;

  /// Share [0..1] of a pixel with its middle at (px, py) that counts.
  [[nodiscard]] double share(double px, double py) const {
    const double dx = px - x;
    const double dy = py - y;
    const auto along = [this](double u, double half) {
      return std::clamp((half - std::abs(u)) / edge + 0.5, 0.0, 1.0);
    };
    return along(dx * cos_tilt + dy * sin_tilt, half_major) * along(dy * cos_tilt - dx * sin_tilt, half_minor);
  }
};

/// The window that `widths` ask for. A beam that may be called circular has no axes to turn to.
Window window_about(const BeamWidths& w, double times, double pixel) {
  constexpr double circular_above = 0.87;  // ellipticity, ISO 11146-1 (kind: standard)
  const auto half = [&](double diameter) { return std::max(pixel, times * diameter / 2); };
  if (w.minor_mm > circular_above * w.major_mm) {
    const double round = half(std::hypot(w.major_mm, w.minor_mm) / std::numbers::sqrt2);
    return {w.centroid_x_mm, w.centroid_y_mm, 1, 0, round, round, pixel};
  }
  return {w.centroid_x_mm,
          w.centroid_y_mm,
          std::cos(w.tilt_rad),
          std::sin(w.tilt_rad),
          half(w.major_mm),
          half(w.minor_mm),
          pixel};
}

struct Moments {
  double sum = 0, x = 0, y = 0, xx = 0, yy = 0, xy = 0;

  void add(double weight, double px, double py) {
    sum += weight;
    x += weight * px;
    y += weight * py;
    xx += weight * px * px;
    yy += weight * py * py;
    xy += weight * px * py;
  }
};

Moments moments(const BeamImage& image, const std::optional<Window>& window) {
  Moments m;
  for (std::size_t row = 0; row < image.height; ++row) {
    const double y = image.y_mm(row);
    Moments of_row;  // row sums first: less rounding than one long sum
    for (std::size_t column = 0; column < image.width; ++column) {
      const double x = image.x_mm(column);
      of_row.add(image.at(column, row) * (window ? window->share(x, y) : 1), x, y);
    }
    m.sum += of_row.sum;
    m.x += of_row.x;
    m.y += of_row.y;
    m.xx += of_row.xx;
    m.yy += of_row.yy;
    m.xy += of_row.xy;
  }
  return m;
}

BeamWidths widths(const Moments& m) {
  BeamWidths w;
  if (m.sum <= 0) return w;
  w.centroid_x_mm = m.x / m.sum;
  w.centroid_y_mm = m.y / m.sum;
  const double xx = m.xx / m.sum - w.centroid_x_mm * w.centroid_x_mm;
  const double yy = m.yy / m.sum - w.centroid_y_mm * w.centroid_y_mm;
  const double xy = m.xy / m.sum - w.centroid_x_mm * w.centroid_y_mm;
  const double split = std::hypot(xx - yy, 2 * xy);
  w.major_mm = std::sqrt(std::max(0.0, 8 * (xx + yy + split)));
  w.minor_mm = std::sqrt(std::max(0.0, 8 * (xx + yy - split)));
  w.tilt_rad = std::atan2(2 * xy, xx - yy) / 2;
  return w;
}

}  // namespace

BeamWidths beam_widths(const BeamImage& image, double window) {
  constexpr int most_rounds = 100;
  constexpr double at_rest = 1e-6;
  BeamWidths now = widths(moments(image, std::nullopt));
  for (int round = 0; round < most_rounds && now.major_mm > 0; ++round) {
    BeamWidths next = widths(moments(image, window_about(now, window, image.mm_per_pixel)));
    const double moved =
        std::max({std::abs(next.major_mm - now.major_mm), std::abs(next.minor_mm - now.minor_mm),
                  std::abs(next.centroid_x_mm - now.centroid_x_mm), std::abs(next.centroid_y_mm - now.centroid_y_mm)});
    next.converged = moved <= at_rest * next.major_mm;
    now = next;
    if (now.converged) break;
  }
  return now;
}

}  // namespace throughcure::optics
