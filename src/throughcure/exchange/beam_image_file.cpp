#include "throughcure/exchange/beam_image_file.hpp"

#include <algorithm>
#include <string>
#include <utility>

#include "throughcure/exchange/foreign_file.hpp"

namespace throughcure::exchange {

namespace {

std::optional<GreyPicture> read_picture(const std::filesystem::path& path, base::Problems& problems) {
  const auto bytes = read_foreign_file(path, kMostPictureBytes, problems);
  return bytes ? parse_grey_picture(*bytes, path.string(), problems) : std::nullopt;
}

std::string form(const GreyPicture& picture) {
  return std::to_string(picture.width) + " x " + std::to_string(picture.height) + " pixels of " +
         std::to_string(picture.bits) + " bits";
}

}  // namespace

std::optional<optics::BeamImage> read_beam_image(const std::filesystem::path& path,
                                                 const std::optional<std::filesystem::path>& dark_frame,
                                                 const PictureScale& scale, base::Problems& problems) {
  const auto picture = read_picture(path, problems);
  const auto dark = dark_frame ? read_picture(*dark_frame, problems) : std::nullopt;
  if (!picture || (dark_frame && !dark)) return std::nullopt;
  if (dark && form(*dark) != form(*picture)) {
    problems.push_back({.file = dark_frame->string(),
                        .field = {},
                        .what = "the dark frame has " + form(*dark) + ", the beam image " + form(*picture),
                        .remedy = "Take both with the same settings of the camera"});
    return std::nullopt;
  }
  optics::BeamImage image = optics::blank_image(picture->width, picture->height, scale.mm_per_pixel);
  if (scale.tip_centre_px) {
    image.tip_centre_x_px = (*scale.tip_centre_px)[0];
    image.tip_centre_y_px = (*scale.tip_centre_px)[1];
  }
  for (std::size_t i = 0; i < image.value.size(); ++i) {
    image.value[i] = picture->value[i] - (dark ? static_cast<double>(dark->value[i]) : 0.0);
  }
  if (!dark) {
    const double background = optics::corner_background(image);
    image = optics::without_background(std::move(image), background);
  }
  if (std::ranges::none_of(image.value, [](double value) { return value > 0; })) {
    problems.push_back({.file = path.string(),
                        .field = {},
                        .what = "no pixel is brighter than the background",
                        .remedy = "Take the picture while the light is on"});
    return std::nullopt;
  }
  return image;
}

}  // namespace throughcure::exchange
