#include "throughcure/draw/raster_png.hpp"

#include <cstdint>
#include <vector>

#include <png.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::draw {

std::string raster_png(const Raster& raster) {
  const auto fail = [&](const std::string& why) {
    return base::Failure("a raster of " + std::to_string(raster.columns) + " x " + std::to_string(raster.rows) +
                         " pixels cannot be packed as PNG: " + why);
  };
  if (raster.columns == 0 || raster.rows == 0) throw fail("it has none");
  if (raster.colour.size() != raster.columns * raster.rows) {
    throw fail("it has " + std::to_string(raster.colour.size()) + " colours");
  }
  std::vector<std::uint8_t> bytes;
  bytes.reserve(4 * raster.colour.size());
  for (const Colour& c : raster.colour) bytes.insert(bytes.end(), {c.red, c.green, c.blue, c.alpha});
  png_image image{};
  image.version = PNG_IMAGE_VERSION;
  image.width = static_cast<png_uint_32>(raster.columns);
  image.height = static_cast<png_uint_32>(raster.rows);
  image.format = PNG_FORMAT_RGBA;
  png_alloc_size_t size = PNG_IMAGE_PNG_SIZE_MAX(image);
  std::string out(size, '\0');
  if (png_image_write_to_memory(&image, out.data(), &size, 0, bytes.data(), 0, nullptr) == 0) {
    throw fail(image.message);
  }
  out.resize(size);
  return out;
}

}  // namespace throughcure::draw
