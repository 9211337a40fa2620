// A section as letters, so that a test of a scene can be read.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "throughcure/anatomy/scene.hpp"

namespace throughcure::tests {

/// The letter of a medium: its first, or the number of an increment; a space for air.
inline char letter(const std::string& medium) {
  if (medium == "air") return ' ';
  if (medium.starts_with("increment ")) return medium.back();
  if (medium == "neighbour enamel") return 'E';
  if (medium == "neighbour dentine") return 'D';
  return medium.front();
}

/// Rows of letters of the places `at(column, row)`.
inline std::vector<std::string> ascii_section(const anatomy::Scene& scene, int columns, int rows,
                                              const std::function<base::Point(int, int)>& at) {
  std::vector<std::string> picture;
  for (int row = 0; row < rows; ++row) {
    std::string line;
    for (int column = 0; column < columns; ++column) {
      line += letter(scene.medium_names[scene.medium_at(at(column, row))]);
    }
    line.erase(line.find_last_not_of(' ') + 1);
    picture.push_back(line);
  }
  return picture;
}

}  // namespace throughcure::tests
