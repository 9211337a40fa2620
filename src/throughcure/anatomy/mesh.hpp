// Closed triangle meshes of the media of a scene, for the 3-D view.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <vector>

#include "throughcure/anatomy/scene.hpp"

namespace throughcure::anatomy {

/// Triangles that close; seen from outside their corners run counter-clockwise (in a right-handed frame).
struct Mesh {
  std::vector<base::Point> vertices;
  std::vector<std::array<std::uint32_t, 3>> triangles;
};

/// Where a mesh is made: a box, cut flat at its sides, and the spacing of the grid over it.
struct MeshGrid {
  base::Point least;
  base::Point most;
  double spacing_mm = 0.25;
};

/// The boundary of the points that `inside` holds, within the box: marching tetrahedra over the grid, every vertex
/// moved along its grid edge onto the exact boundary (to 1e-6 of the spacing). Edges and corners are cut by less than a
/// spacing, and a layer thinner than the spacing may be missed.
Mesh mesh_where(const std::function<bool(const base::Point&)>& inside, const MeshGrid& grid);

/// The mesh of one medium.
Mesh medium_mesh(const Scene& scene, MediumId medium, const MeshGrid& grid);

/// Volume inside a mesh [mm3]; positive for one that faces outwards.
double volume_mm3(const Mesh& mesh);

}  // namespace throughcure::anatomy
