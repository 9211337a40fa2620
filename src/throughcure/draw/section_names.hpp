// Where the names of a section's parts stand: inside what they name where there is room, else beside it with a line.
#pragma once

#include <vector>

#include "throughcure/anatomy/restoration.hpp"
#include "throughcure/anatomy/scene.hpp"
#include "throughcure/draw/section_base.hpp"

namespace throughcure::draw {

/// Uses the base's scale, areas and media. A part too narrow for its name is named in the next part that holds no
/// resin, below the cusps; one for which no place is found goes unnamed.
std::vector<Name> section_names(const SectionBase& base, const anatomy::Scene& scene, const anatomy::Site& site);

/// How wide words are in a usual sans type [mm].
double words_width_mm(const std::string& words, double size_mm);

/// A rectangle of words about their middle.
struct Box {
  Place least;
  Place most;

  [[nodiscard]] bool meets(const Box& other) const {
    return least.x_mm < other.most.x_mm && other.least.x_mm < most.x_mm && least.y_mm < other.most.y_mm &&
           other.least.y_mm < most.y_mm;
  }
};
Box box_of_words(const std::string& words, Place middle, double size_mm, bool upright = false);

/// The place of a box that is nearest to another, and how far that is [mm]; 0 inside.
Place nearest_in(const Box& box, const Place& p);
double gap(const Box& box, const Place& p);

}  // namespace throughcure::draw
