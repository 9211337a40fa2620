#include "throughcure/draw/ramps.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace throughcure::draw {

namespace {

OkLab of_hue(double lightness, double chroma, double hue_deg) {
  const double hue = hue_deg * std::numbers::pi / 180;
  return {lightness, chroma * std::cos(hue), chroma * std::sin(hue)};
}

}  // namespace

OkLab light_ramp(double share) {
  const double s = std::clamp(share, 0.0, 1.0);
  const double chroma = 0.075 * std::sin(std::numbers::pi * std::min(1.0, 0.25 + 0.75 * s));
  return of_hue(0.22 + 0.78 * s, chroma, 262);
}

OkLab conversion_ramp(double share) {
  const double s = std::clamp(share, 0.0, 1.0);
  const OkLab unset = of_hue(0.93, 0.08, 98);
  const OkLab set = of_hue(0.37, 0.06, 200);
  return {std::lerp(unset.lightness, set.lightness, s), std::lerp(unset.a, set.a, s), std::lerp(unset.b, set.b, s)};
}

}  // namespace throughcure::draw
