#include "throughcure/draw/scattered_field.hpp"

#include <algorithm>
#include <utility>

namespace throughcure::draw {

namespace {

constexpr double kTouch_mm2 = 1e-12;  ///< keeps the weight of a sample at the place itself finite
/// Of the samples' spread, added across the fit: a slope is only followed in a direction in which they are spread.
constexpr double kStiff = 0.003;

/// Means and products of one quantity beside the offsets of the samples.
struct Sums {
  double v = 0;
  double xv = 0;
  double yv = 0;
};

}  // namespace

ScatteredField::ScatteredField(std::vector<Sample> samples, double smooth_mm)
    : samples_(std::move(samples)), smooth_mm2_(smooth_mm * smooth_mm) {
  least_ = most_ = samples_.front();
  for (const Sample& s : samples_) {
    least_.conversion = std::min(least_.conversion, s.conversion);
    most_.conversion = std::max(most_.conversion, s.conversion);
    least_.hardness_ratio = std::min(least_.hardness_ratio, s.hardness_ratio);
    most_.hardness_ratio = std::max(most_.hardness_ratio, s.hardness_ratio);
  }
}

Sample ScatteredField::at(const Place& place) const {
  double w = 0;
  double x = 0;
  double y = 0;
  double xx = 0;
  double xy = 0;
  double yy = 0;
  Sums conversion;
  Sums hardness;
  for (const Sample& s : samples_) {
    const double dx = s.at.x_mm - place.x_mm;
    const double dy = s.at.y_mm - place.y_mm;
    const double squared = dx * dx + dy * dy + smooth_mm2_ + kTouch_mm2;
    const double weight = 1 / (squared * squared);
    const double wx = weight * dx;
    const double wy = weight * dy;
    w += weight;
    x += wx;
    y += wy;
    xx += wx * dx;
    xy += wx * dy;
    yy += wy * dy;
    conversion.v += weight * s.conversion;
    conversion.xv += wx * s.conversion;
    conversion.yv += wy * s.conversion;
    hardness.v += weight * s.hardness_ratio;
    hardness.xv += wx * s.hardness_ratio;
    hardness.yv += wy * s.hardness_ratio;
  }
  x /= w;
  y /= w;
  const double stiff = kStiff * (xx + yy) / w + kTouch_mm2;
  const double cxx = xx / w - x * x + stiff;
  const double cyy = yy / w - y * y + stiff;
  const double cxy = xy / w - x * y;
  const double det = cxx * cyy - cxy * cxy;
  const auto value = [&](const Sums& sums, double least, double most) {
    const double mean = sums.v / w;
    const double cxv = sums.xv / w - x * mean;
    const double cyv = sums.yv / w - y * mean;
    const double slope_x = (cxv * cyy - cyv * cxy) / det;
    const double slope_y = (cyv * cxx - cxv * cxy) / det;
    return std::clamp(mean - slope_x * x - slope_y * y, least, most);
  };
  return {place, value(conversion, least_.conversion, most_.conversion),
          value(hardness, least_.hardness_ratio, most_.hardness_ratio)};
}

}  // namespace throughcure::draw
