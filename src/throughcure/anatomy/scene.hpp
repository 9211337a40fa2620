// The one description that the section drawing, the 3-D mesh and the photons all read: convex solids in order of rank.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "throughcure/anatomy/quadric.hpp"

namespace throughcure::anatomy {

using MediumId = std::uint16_t;

/// A convex solid: the points inside all of its faces.
struct Solid {
  std::uint32_t first_face = 0;
  std::uint32_t face_count = 0;
  MediumId medium = 0;
};

/// Solids in order of rank: a point belongs to the first solid that holds it, and where none does, to the background.
/// So a cavity is a solid of air ranked before enamel and dentine, and a resin increment is ranked before the cavity.
/// Plain data; build it with SceneBuilder.
struct Scene {
  std::vector<Quadric> faces;
  std::vector<Solid> solids;
  std::vector<std::string> medium_names;  ///< by MediumId
  MediumId background = 0;

  /// The index of the solid that a point belongs to; solids.size() for the background.
  [[nodiscard]] std::uint32_t solid_at(const base::Point& p) const;
  [[nodiscard]] MediumId medium_of(std::uint32_t solid) const {
    return solid < solids.size() ? solids[solid].medium : background;
  }
  [[nodiscard]] MediumId medium_at(const base::Point& p) const { return medium_of(solid_at(p)); }
};

/// Whether a solid holds a point (on a face counts as inside).
bool holds(const Scene& scene, const Solid& solid, const base::Point& p);

/// Puts a scene together; ranks are in the order of `add`.
class SceneBuilder {
 public:
  explicit SceneBuilder(std::string background_name);
  /// The medium of that name, made when it is new.
  MediumId medium(const std::string& name);
  /// Adds a solid ranked after all before it. A solid without faces fills all that is left.
  void add(MediumId medium, const std::vector<Quadric>& faces);
  [[nodiscard]] const Scene& scene() const { return scene_; }

 private:
  Scene scene_;
};

/// A box between two corners, as six half-spaces.
std::vector<Quadric> box(const base::Point& least, const base::Point& most);

}  // namespace throughcure::anatomy
