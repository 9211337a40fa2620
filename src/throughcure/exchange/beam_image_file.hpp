// A beam image from the picture that a camera took of the tip's plane.
#pragma once

#include <array>
#include <filesystem>
#include <optional>

#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/grey_picture.hpp"
#include "throughcure/optics/beam_image.hpp"

namespace throughcure::exchange {

/// How a picture lies over the tip.
struct PictureScale {
  double mm_per_pixel = 0;
  std::optional<std::array<double, 2>> tip_centre_px{};  ///< column and row, from 0; without it the picture's middle
};

/// Reads a picture (see grey_picture.hpp for its form) and takes the dark frame off it: a picture of the same size and
/// depth, with the light off. Without one, the mean of the four corners counts as the background. What is wrong is
/// added to `problems`, and nothing is returned then.
std::optional<optics::BeamImage> read_beam_image(const std::filesystem::path& path,
                                                 const std::optional<std::filesystem::path>& dark_frame,
                                                 const PictureScale& scale, base::Problems& problems);

}  // namespace throughcure::exchange
