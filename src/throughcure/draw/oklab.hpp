// OKLab: a colour space in which equal steps look about equal.
#pragma once

#include "throughcure/draw/picture.hpp"

namespace throughcure::draw {

/// Lightness 0 (black) to 1 (white); a from green to red, b from blue to
/// yellow. Source of the space and its matrices: Ottosson 2020, "A perceptual
/// color space for image processing" (published).
struct OkLab {
  double lightness = 0;
  double a = 0;
  double b = 0;
};

/// To sRGB. What no screen can show is cut off at its limits; `in_srgb` says
/// whether it is.
Colour to_colour(const OkLab& colour);
bool in_srgb(const OkLab& colour);

OkLab to_oklab(const Colour& colour);

/// How different two colours look: the straight distance.
double difference(const OkLab& one, const OkLab& other);

}  // namespace throughcure::draw
