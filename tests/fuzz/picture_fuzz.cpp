// The reader of pictures on any bytes: it never breaks, and a picture that it vouches for has all its pixels.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "throughcure/exchange/grey_picture.hpp"

using namespace throughcure;

// The name is libFuzzer's.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  base::Problems problems;
  const auto picture = exchange::parse_grey_picture({reinterpret_cast<const char*>(data), size}, "fuzz", problems);
  if (picture.has_value() != problems.empty()) std::abort();
  if (!picture) return 0;
  const bool sound = picture->width > 0 && picture->height > 0 && picture->width <= exchange::kMostPixelsAcross &&
                     picture->height <= exchange::kMostPixelsAcross && (picture->bits == 8 || picture->bits == 16) &&
                     picture->value.size() == picture->width * picture->height;
  if (!sound) std::abort();
  return 0;
}
