#include "throughcure/transport/diffusion.hpp"

#include <algorithm>
#include <cstddef>

namespace throughcure::transport {

namespace {

constexpr int kSweeps = 60;
constexpr double kOverRelaxed = 1.6;
constexpr double kClearest_per_mm = 0.1;
/// A at the surface of a medium of index 1.5 in air. Source: Haskell et al. 1994, table 2 (from memory, not yet
/// confirmed); it decides what a run costs, not what it gives.
constexpr double kToAir = 2.5;

/// What passes through a box's face [mm], per fluence rate: into a neighbour, or out at air and metal for good.
struct Face {
  double passes = 0;
  bool leads_on = false;
};
Face face_between(const Medium& here, const Medium& beyond, double edge_mm) {
  const double spread = diffusion_mm(here);
  if (beyond.kind == MediumKind::turbid) {
    const double there = diffusion_mm(beyond);
    return {2 * spread * there / (spread + there), true};
  }
  if (beyond.kind == MediumKind::metal && beyond.reflectance >= 1) return {};
  const double a = beyond.kind == MediumKind::metal ? (1 + beyond.reflectance) / (1 - beyond.reflectance) : kToAir;
  return {edge_mm / (edge_mm / (2 * spread) + 2 * a), false};
}

}  // namespace

double diffusion_mm(const Medium& medium) {
  return 1 / (3 * std::max(medium.mua_per_mm + reduced_scattering_per_mm(medium), kClearest_per_mm));
}

std::vector<anatomy::MediumId> media_of_boxes(const anatomy::Scene& scene, const Grid& grid) {
  std::vector<anatomy::MediumId> medium_of;
  medium_of.reserve(grid.cells());
  for (std::size_t box = 0; box < grid.cells(); ++box) medium_of.push_back(scene.medium_at(grid.middle(box)));
  return medium_of;
}

std::vector<double> diffuse(const Grid& grid, std::span<const anatomy::MediumId> medium_of, const Media& media,
                            std::span<const double> source) {
  // Every pair of media once.
  std::vector<Face> faces;
  for (const Medium& here : media) {
    for (const Medium& beyond : media) faces.push_back(face_between(here, beyond, grid.edge_mm));
  }
  const double area = grid.edge_mm * grid.edge_mm;
  std::vector<double> fluence(grid.cells(), 0);
  for (int sweep = 0; sweep < kSweeps; ++sweep) {
    for (std::size_t box = 0; box < grid.cells(); ++box) {
      const Medium& medium = media[medium_of[box]];
      if (medium.kind != MediumKind::turbid) continue;
      const Face* around = &faces[medium_of[box] * media.size()];
      double in = source[box] * area;
      double out = medium.mua_per_mm * area;
      grid.neighbours(box, [&](std::size_t other, std::size_t, int) {
        const Face& face = around[medium_of[other]];
        out += face.passes;
        if (face.leads_on) in += face.passes * fluence[other];
      });
      if (out > 0) fluence[box] += kOverRelaxed * (in / out - fluence[box]);
    }
  }
  return fluence;
}

}  // namespace throughcure::transport
