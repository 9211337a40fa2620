#include "throughcure/anatomy/state_meshes.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>
#include <utility>

namespace throughcure::anatomy {

namespace {

using base::Point;

constexpr double kAbove_mm = 0.5;   ///< of the cusps
constexpr double kBelow_mm = 2.2;   ///< of the cervical line, as the sections
constexpr double kBeside_mm = 3;    ///< of the tooth
constexpr double kOnCap_mm = 0.02;  ///< of a band's edge

double spacing_of(const std::string& medium) {
  if (medium.starts_with("increment")) return 0.25;
  if (medium == "pulp") return 0.4;
  if (medium == "enamel" || medium == "wedge") return 0.5;
  if (medium == "dentine") return 0.6;
  return 0.8;  // gingiva, dam, band, neighbours
}

MeshGrid grid_round(const ToothForm& form, double spacing_mm) {
  const double x = form.half_width_mm + kBeside_mm;
  const double y = form.half_depth_mm + kBeside_mm;
  return {{-x, -y, -kAbove_mm}, {x, y, form.crown_length_mm + kBelow_mm}, spacing_mm};
}

/// The same grid, no larger than what the medium reaches: looked at in steps of half a millimetre, and one step more.
std::optional<MeshGrid> grid_about(const Scene& scene, MediumId medium, const MeshGrid& whole) {
  constexpr double step = 0.5;
  Point least{1e9, 1e9, 1e9};
  Point most{-1e9, -1e9, -1e9};
  const base::Vec size = whole.most - whole.least;
  for (int k = 0; k * step <= size.z; ++k) {
    for (int j = 0; j * step <= size.y; ++j) {
      for (int i = 0; i * step <= size.x; ++i) {
        const Point p = whole.least + base::Vec{i * step, j * step, k * step};
        if (scene.medium_at(p) != medium) continue;
        least = {std::min(least.x, p.x), std::min(least.y, p.y), std::min(least.z, p.z)};
        most = {std::max(most.x, p.x), std::max(most.y, p.y), std::max(most.z, p.z)};
      }
    }
  }
  if (least.x > most.x) return std::nullopt;
  const auto low = [&](double found, double limit) { return std::max(limit, found - step); };
  const auto high = [&](double found, double limit) { return std::min(limit, found + step); };
  return MeshGrid{{low(least.x, whole.least.x), low(least.y, whole.least.y), low(least.z, whole.least.z)},
                  {high(most.x, whole.most.x), high(most.y, whole.most.y), high(most.z, whole.most.z)},
                  whole.spacing_mm};
}

/// The band's own solid with all that it surrounds, without the flat faces at its two edges.
Mesh band_mesh(const Scene& scene, MediumId medium, const MeshGrid& grid) {
  const auto band = std::ranges::find_if(scene.solids, [&](const Solid& solid) { return solid.medium == medium; });
  if (band == scene.solids.end()) return {};
  Mesh mesh = mesh_where([&](const Point& p) { return holds(scene, *band, p); }, grid);
  double upper = grid.most.z;
  double lower = grid.least.z;
  for (const Point& p : mesh.vertices) {
    upper = std::min(upper, p.z);
    lower = std::max(lower, p.z);
  }
  const auto on_cap = [&](std::uint32_t vertex) {
    const double z = mesh.vertices[vertex].z;
    return z < upper + kOnCap_mm || z > lower - kOnCap_mm;
  };
  std::erase_if(mesh.triangles, [&](const auto& t) { return on_cap(t[0]) && on_cap(t[1]) && on_cap(t[2]); });
  return mesh;
}

/// Without the vertices that no triangle uses.
Mesh trimmed(const Mesh& mesh) {
  constexpr auto unused = static_cast<std::uint32_t>(-1);
  std::vector<std::uint32_t> becomes(mesh.vertices.size(), unused);
  Mesh out;
  for (const auto& triangle : mesh.triangles) {
    std::array<std::uint32_t, 3> corners{};
    for (std::size_t c = 0; c < 3; ++c) {
      std::uint32_t& to = becomes[triangle[c]];
      if (to == unused) {
        to = static_cast<std::uint32_t>(out.vertices.size());
        out.vertices.push_back(mesh.vertices[triangle[c]]);
      }
      corners[c] = to;
    }
    out.triangles.push_back(corners);
  }
  return out;
}

}  // namespace

std::vector<MediumMesh> state_meshes(const Site& site, const SceneState& state) {
  const Scene scene = build_scene(site, state);
  const ToothForm form = tooth_form(site.tooth.tooth_class(), site.crown);
  std::vector<MediumMesh> meshes;
  for (std::size_t m = 0; m < scene.medium_names.size(); ++m) {
    const auto medium = static_cast<MediumId>(m);
    const std::string& name = scene.medium_names[medium];
    if (medium == scene.background || name == "adhesive") continue;
    const MeshGrid whole = grid_round(form, spacing_of(name));
    Mesh mesh;
    if (name == "matrix") {
      mesh = trimmed(band_mesh(scene, medium, whole));
    } else if (const auto grid = grid_about(scene, medium, whole)) {
      mesh = medium_mesh(scene, medium, *grid);
    }
    if (!mesh.triangles.empty()) meshes.push_back({name, std::move(mesh)});
  }
  return meshes;
}

}  // namespace throughcure::anatomy
