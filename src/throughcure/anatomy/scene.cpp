#include "throughcure/anatomy/scene.hpp"

#include <algorithm>
#include <utility>

namespace throughcure::anatomy {

using base::Direction;
using base::Point;

bool holds(const Scene& scene, const Solid& solid, const Point& p) {
  for (std::uint32_t f = 0; f < solid.face_count; ++f) {
    if (value(scene.faces[solid.first_face + f], p) > 0) return false;
  }
  return true;
}

std::uint32_t Scene::solid_at(const Point& p) const {
  for (std::uint32_t s = 0; s < solids.size(); ++s) {
    if (holds(*this, solids[s], p)) return s;
  }
  return static_cast<std::uint32_t>(solids.size());
}

SceneBuilder::SceneBuilder(std::string background_name) { scene_.medium_names.push_back(std::move(background_name)); }

MediumId SceneBuilder::medium(const std::string& name) {
  const auto found = std::find(scene_.medium_names.begin(), scene_.medium_names.end(), name);
  const auto id = static_cast<MediumId>(found - scene_.medium_names.begin());
  if (found == scene_.medium_names.end()) scene_.medium_names.push_back(name);
  return id;
}

void SceneBuilder::add(MediumId medium, const std::vector<Quadric>& faces) {
  scene_.solids.push_back(
      {static_cast<std::uint32_t>(scene_.faces.size()), static_cast<std::uint32_t>(faces.size()), medium});
  scene_.faces.insert(scene_.faces.end(), faces.begin(), faces.end());
}

std::vector<Quadric> box(const Point& least, const Point& most) {
  return {half_space(least, Direction{-1, 0, 0}), half_space(most, Direction{1, 0, 0}),
          half_space(least, Direction{0, -1, 0}), half_space(most, Direction{0, 1, 0}),
          half_space(least, Direction{0, 0, -1}), half_space(most, Direction{0, 0, 1})};
}

}  // namespace throughcure::anatomy
