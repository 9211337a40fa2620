// A scene cut by a plane: which solid lies at each pixel, and the outline of each medium as closed lines.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "throughcure/anatomy/scene.hpp"

namespace throughcure::anatomy {

/// A rectangle in the scene: from its upper left corner `width_mm` to the right and `height_mm` down.
struct SectionPlane {
  base::Point corner;
  base::Direction right;
  base::Direction down;
  double width_mm = 0;
  double height_mm = 0;

  [[nodiscard]] base::Point at(double right_mm, double down_mm) const {
    return corner + right * right_mm + down * down_mm;
  }
};

/// A section as pixels, row by row from the upper left; each says what lies at its middle.
struct Section {
  SectionPlane plane;
  double mm_per_pixel = 0;
  std::size_t columns = 0;
  std::size_t rows = 0;
  std::vector<std::uint32_t> solids;  ///< index into Scene::solids; their number for the background
  std::vector<MediumId> media;
};

/// Cuts a scene. Pixels cover the rectangle; the last column and row may reach over its edge.
Section cut(const Scene& scene, const SectionPlane& plane, double mm_per_pixel);

/// A closed line round (part of) a medium, in mm to the right and down from the plane's corner; the medium lies on its
/// right hand. The last point joins the first.
using Outline = std::vector<std::array<double, 2>>;

/// The outlines of a medium in a plane, cut off at the rectangle: marching squares over a grid of that spacing, with
/// every point moved onto the face that it stands for (within 1e-6 of the spacing). Corners are cut by less than a
/// spacing; a layer thinner than the spacing may be missed, so draw a band or an adhesive with a fine one.
std::vector<Outline> outlines(const Scene& scene, const SectionPlane& plane, double spacing_mm, MediumId medium);

/// The same for every medium, by MediumId: the grid's nodes are looked at once for all.
std::vector<std::vector<Outline>> all_outlines(const Scene& scene, const SectionPlane& plane, double spacing_mm);

}  // namespace throughcure::anatomy
