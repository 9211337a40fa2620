// In what the media of a case's draws differ, and how each draw lies in it: the ground on which light of all draws is
// read from paths of all draws (light_fit.hpp).
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "throughcure/transport/medium.hpp"

namespace throughcure::plan {

/// One property that the draws have differently. Media that always differ together share an axis.
struct MediaAxis {
  enum class Of : std::uint8_t {
    absorption,  ///< mua, over the nominal one [1/mm]
    scattering,  ///< logarithm of mus over the nominal one
    reflectance  ///< logarithm of a metal's reflectance over the nominal one
  };
  Of of = Of::absorption;
  std::vector<std::size_t> media;  ///< that share it
  double mean = 0;                 ///< over the draws, in the unit of `of`
  double spread = 1;               ///< standard deviation over the draws, above 0
  bool resin = false;              ///< of the increments
};

/// Where each draw lies: along each axis, in spreads from the mean; and on the squares of absorptions and the products
/// of a resin's axes, with their means taken off.
struct MediaAxes {
  std::vector<MediaAxis> axes;
  std::vector<std::vector<std::size_t>> groups;  ///< by axis: its media
  struct Product {
    std::size_t one = 0, other = 0;  ///< axes
    double mean = 0;
  };
  std::vector<Product> products;
  std::size_t draws = 0;
  std::vector<double> rows;  ///< [draw][column]: 1, axes, products
  std::vector<double> gram;  ///< [column][column]: mean over the draws of the products of columns

  /// Of a row.
  [[nodiscard]] std::size_t columns() const { return 1 + axes.size() + products.size(); }
  /// The row of the media in the middle of all draws.
  [[nodiscard]] std::vector<double> middle_row() const;
};

/// Expects as many media in each draw as in `nominal`. `resin` tells which media are increments.
MediaAxes axes_of(const std::vector<transport::Media>& draws, const transport::Media& nominal,
                  const std::vector<bool>& resin);

/// The media in the middle of all draws: each axis at its mean.
transport::Media middle_media(const MediaAxes& axes, transport::Media nominal);

}  // namespace throughcure::plan
