// The meshes that the 3-D view of a state is made of.
#pragma once

#include <string>
#include <vector>

#include "throughcure/anatomy/mesh.hpp"
#include "throughcure/anatomy/restoration.hpp"
#include "throughcure/anatomy/states.hpp"

namespace throughcure::anatomy {

struct MediumMesh {
  std::string medium;  ///< as in Scene::medium_names
  Mesh mesh;
};

/// One mesh for each medium of a state that can be seen, in the order of media: enamel, dentine, pulp, gingiva, the
/// increments placed, matrix, wedge, dam, the neighbours. Left out are air and the adhesive, which is too thin to be
/// seen. The matrix is the outer face of its band without thickness, open above and below; all others close. Grids are
/// finer for what is small: 0.25 mm for increments, 0.5 mm for enamel, 0.8 mm for gingiva and neighbours. Expects a
/// site without problems.
std::vector<MediumMesh> state_meshes(const Site& site, const SceneState& state);

}  // namespace throughcure::anatomy
