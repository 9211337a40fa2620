// The states a case goes through, and the scene of each.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "throughcure/anatomy/restoration.hpp"
#include "throughcure/anatomy/scene.hpp"

namespace throughcure::anatomy {

/// What is in place while something is lit.
struct SceneState {
  std::string name;            ///< "adhesive bare", "increment 1 placed", "all placed, band off"
  std::size_t increments = 0;  ///< how many are placed
  bool matrix = false;         ///< band, and wedge if the site has one, in place
};

/// The states of a site in order: adhesive bare, each increment placed, and, where there is a band, the band off.
std::vector<SceneState> scene_states(const Site& site);

/// The scene of a state. Media are the same in every state of a site, in this order: air (the background), enamel,
/// dentine, pulp, gingiva, adhesive, increment 1 ..., matrix, wedge, dam, neighbour enamel, neighbour dentine.
/// Expects a site without problems (`site_problems`).
Scene build_scene(const Site& site, const SceneState& state);

/// "increment 1" for index 0.
std::string increment_name(std::size_t index);

/// The index of the increment that a medium of a site's scenes is; nothing for any other medium.
std::optional<std::size_t> increment_of(const Site& site, MediumId medium);

}  // namespace throughcure::anatomy
