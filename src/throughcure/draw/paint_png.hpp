// A picture as the bytes of a PNG file.
#pragma once

#include <string>

#include "throughcure/draw/picture.hpp"

namespace throughcure::draw {

/// 12 pixels per mm are 305 to the inch: enough for print. Throws base::Failure
/// with cairo's reason, also where the picture is larger than cairo's 32767
/// pixels either way.
std::string paint_png(const Picture& picture, double pixels_per_mm = 12);

}  // namespace throughcure::draw
