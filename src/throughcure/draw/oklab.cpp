#include "throughcure/draw/oklab.hpp"

#include <algorithm>
#include <cmath>

namespace throughcure::draw {

namespace {

struct LinearRgb {
  double red = 0;
  double green = 0;
  double blue = 0;
};

double cube(double v) { return v * v * v; }

LinearRgb linear(const OkLab& c) {
  const double l = cube(c.lightness + 0.3963377774 * c.a + 0.2158037573 * c.b);
  const double m = cube(c.lightness - 0.1055613458 * c.a - 0.0638541728 * c.b);
  const double s = cube(c.lightness - 0.0894841775 * c.a - 1.2914855480 * c.b);
  return {4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
          -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
          -0.0041960863 * l - 0.7034186147 * m + 1.7076147010 * s};
}

// IEC 61966-2-1 (kind: standard): the transfer curve of sRGB.
std::uint8_t encoded(double v) {
  const double cut = std::clamp(v, 0.0, 1.0);
  const double curve = cut <= 0.0031308 ? 12.92 * cut : 1.055 * std::pow(cut, 1 / 2.4) - 0.055;
  return static_cast<std::uint8_t>(std::lround(255 * curve));
}
double decoded(std::uint8_t byte) {
  const double v = byte / 255.0;
  return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
}

}  // namespace

Colour to_colour(const OkLab& colour) {
  const LinearRgb rgb = linear(colour);
  return {encoded(rgb.red), encoded(rgb.green), encoded(rgb.blue)};
}

bool in_srgb(const OkLab& colour) {
  constexpr double rounding = 1e-4;
  const LinearRgb rgb = linear(colour);
  const auto shown = [](double v) { return v >= -rounding && v <= 1 + rounding; };
  return shown(rgb.red) && shown(rgb.green) && shown(rgb.blue);
}

OkLab to_oklab(const Colour& colour) {
  const double red = decoded(colour.red);
  const double green = decoded(colour.green);
  const double blue = decoded(colour.blue);
  const double l = std::cbrt(0.4122214708 * red + 0.5363325363 * green + 0.0514459929 * blue);
  const double m = std::cbrt(0.2119034982 * red + 0.6806995451 * green + 0.1073969566 * blue);
  const double s = std::cbrt(0.0883024619 * red + 0.2817188376 * green + 0.6299787005 * blue);
  return {0.2104542553 * l + 0.7936177850 * m - 0.0040720468 * s,
          1.9779984951 * l - 2.4285922050 * m + 0.4505937099 * s,
          0.0259040371 * l + 0.7827717662 * m - 0.8086757660 * s};
}

double difference(const OkLab& one, const OkLab& other) {
  return std::hypot(one.lightness - other.lightness, one.a - other.a, one.b - other.b);
}

}  // namespace throughcure::draw
