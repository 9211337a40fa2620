// The colours of a raster as the bytes of a PNG file.
#pragma once

#include <string>

#include "throughcure/draw/picture.hpp"

namespace throughcure::draw {

/// One pixel of the file for one of the raster, its clip left aside. Throws base::Failure with the library's reason,
/// also where there are no pixels.
std::string raster_png(const Raster& raster);

}  // namespace throughcure::draw
