#include "throughcure/exchange/grey_picture.hpp"

namespace throughcure::exchange {

void check_size(std::size_t width, std::size_t height) {
  if (width > 0 && height > 0 && width <= kMostPixelsAcross && height <= kMostPixelsAcross) return;
  const std::string most = std::to_string(kMostPixelsAcross);
  throw PictureFault{std::to_string(width) + " x " + std::to_string(height) + " pixels is outside the limits, 1 to " +
                         most + " each way",
                     "Cut the picture to the tip, or average neighbouring pixels"};
}

std::optional<GreyPicture> parse_grey_picture(std::string_view bytes, const std::string& file,
                                              base::Problems& problems) {
  using namespace std::string_view_literals;
  try {
    if (bytes.starts_with("\x89PNG\r\n\x1A\n"sv)) return decode_png(bytes);
    if (bytes.starts_with("II*\0"sv) || bytes.starts_with("MM\0*"sv)) return decode_tiff(bytes);
    throw PictureFault{"this is neither a PNG nor a TIFF file",
                       "Save the picture as PNG or TIFF with one channel of 8 or 16 bits"};
  } catch (const PictureFault& fault) {
    problems.push_back({.file = file, .field = {}, .what = fault.what, .remedy = fault.remedy});
    return std::nullopt;
  }
}

}  // namespace throughcure::exchange
