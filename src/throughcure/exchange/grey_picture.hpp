// A picture of one channel, as a camera wrote it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/base/problem.hpp"

namespace throughcure::exchange {

inline constexpr std::size_t kMostPixelsAcross = 4096;  ///< and down

/// Row-major, first row on top; values as they stand in the file, without any gamma.
struct GreyPicture {
  std::size_t width = 0;
  std::size_t height = 0;
  int bits = 0;  ///< 8 or 16
  std::vector<std::uint16_t> value;
};

/// Reads the bytes of a PNG or TIFF file with one channel of 8 or 16 bits; `file` stands for it in problems. Colour,
/// palettes, transparency, other depths, several pictures, a size above the limits and broken or cut bytes are
/// problems, each with its remedy; nothing is returned then.
std::optional<GreyPicture> parse_grey_picture(std::string_view bytes, const std::string& file,
                                              base::Problems& problems);

/// The two formats; used by `parse_grey_picture`. A problem is thrown as its text and its remedy.
struct PictureFault {
  std::string what;
  std::string remedy;
};
GreyPicture decode_png(std::string_view bytes);
GreyPicture decode_tiff(std::string_view bytes);

/// Throws PictureFault for a picture without pixels, or with more than kMostPixelsAcross one way.
void check_size(std::size_t width, std::size_t height);

}  // namespace throughcure::exchange
