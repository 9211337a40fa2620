// Labels to be cut out and stuck to lights, on sheets of A4: what the light is called, and a square that a phone reads.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "throughcure/draw/picture.hpp"

namespace throughcure::draw {

struct Label {
  std::string name;
  std::string serial;
  std::string place;
  std::string address;  ///< that the square leads to, in words below it
  std::size_t side = 0;
  std::vector<bool> dark;  ///< the square's modules, side x side, row by row from the top left
};

constexpr double kLabelWidth_mm = 60;
constexpr double kLabelHeight_mm = 33;
constexpr std::size_t kLabelsAcross = 3;
constexpr std::size_t kLabelsDown = 8;

/// 24 labels a sheet, with marks to cut along; one sheet at least. `note` stands below them, outside every label.
/// Words that are too long for their room are set smaller, then end in an ellipsis. A square of more than 60 modules
/// would be too fine for a phone: base::Failure.
std::vector<Picture> label_sheets(const std::vector<Label>& labels, const std::string& note);

}  // namespace throughcure::draw
