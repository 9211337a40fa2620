#include "throughcure/optics/clip_level.hpp"

#include <algorithm>
#include <cmath>

namespace throughcure::optics {

ClipLevel clip_level(const BeamImage& image, double level) {
  ClipLevel out{.clip_level = level};
  if (image.value.empty()) return out;
  out.largest = *std::max_element(image.value.begin(), image.value.end());
  if (out.largest <= 0) return out;
  const double threshold = level * out.largest;
  double all = 0;
  double above = 0;
  double count = 0;
  for (const double e : image.value) {
    all += e;
    if (e > threshold) {
      above += e;
      ++count;
    }
  }
  out.area_mm2 = count * image.mm_per_pixel * image.mm_per_pixel;
  out.fractional_power = all > 0 ? above / all : 0;
  out.average = above / count;
  out.flatness = out.average / out.largest;
  double squares = 0;
  for (const double e : image.value) {
    if (e > threshold) squares += (e - out.average) * (e - out.average);
  }
  out.uniformity = std::sqrt(squares / count) / out.average;
  return out;
}

double edge_steepness(const BeamImage& image, double low, double high) {
  const double wide = clip_level(image, low).area_mm2;
  return wide > 0 ? (wide - clip_level(image, high).area_mm2) / wide : 0;
}

}  // namespace throughcure::optics
