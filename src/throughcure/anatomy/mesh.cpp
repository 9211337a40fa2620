#include "throughcure/anatomy/mesh.hpp"

#include <cmath>
#include <cstddef>
#include <unordered_map>
#include <utility>

namespace throughcure::anatomy {

namespace {

using base::Point;
using base::Vec;

/// Every cube of the grid falls into six tetrahedra round its diagonal, one for each order of the three axes; so each
/// edge leads from a node to one that is further by 0 or 1 along every axis, and neighbours fit.
class Tetrahedra {
 public:
  Tetrahedra(const std::function<bool(const Point&)>& inside, const MeshGrid& grid)
      : grid_(grid),
        nodes_{nodes(grid.most.x - grid.least.x), nodes(grid.most.y - grid.least.y), nodes(grid.most.z - grid.least.z)},
        inside_(inside),
        held_(nodes_[0] * nodes_[1] * nodes_[2]) {
    for (std::size_t node = 0; node < held_.size(); ++node) held_[node] = holds_in_box(place(node));
  }

  Mesh mesh() {
    static constexpr std::array<std::array<unsigned, 2>, 6> kPaths{
        {{1, 3}, {1, 5}, {2, 3}, {2, 6}, {4, 5}, {4, 6}}};  // bits: steps along x, y, z taken so far
    for (std::size_t k = 0; k + 1 < nodes_[2]; ++k) {
      for (std::size_t j = 0; j + 1 < nodes_[1]; ++j) {
        for (std::size_t i = 0; i + 1 < nodes_[0]; ++i) {
          const std::size_t node = (k * nodes_[1] + j) * nodes_[0] + i;
          if (uniform(node)) continue;
          for (const auto& [one, two] : kPaths) add({node, stepped(node, one), stepped(node, two), stepped(node, 7)});
        }
      }
    }
    return std::move(mesh_);
  }

 private:
  /// Nodes along a length: one spacing beyond the box at both ends, where nothing is inside.
  [[nodiscard]] std::size_t nodes(double length) const {
    return static_cast<std::size_t>(std::max(1.0, std::ceil(length / grid_.spacing_mm - 1e-9))) + 3;
  }
  [[nodiscard]] Point place(std::size_t node) const {
    const auto along = [&](std::size_t index) { return (static_cast<double>(index) - 1) * grid_.spacing_mm; };
    return grid_.least +
           Vec{along(node % nodes_[0]), along(node / nodes_[0] % nodes_[1]), along(node / nodes_[0] / nodes_[1])};
  }
  [[nodiscard]] std::size_t stepped(std::size_t node, unsigned bits) const {
    return node + (bits & 1U) + (bits >> 1U & 1U) * nodes_[0] + (bits >> 2U & 1U) * nodes_[0] * nodes_[1];
  }
  [[nodiscard]] bool holds_in_box(const Point& p) const {
    return p.x >= grid_.least.x && p.x <= grid_.most.x && p.y >= grid_.least.y && p.y <= grid_.most.y &&
           p.z >= grid_.least.z && p.z <= grid_.most.z && inside_(p);
  }
  [[nodiscard]] bool uniform(std::size_t node) const {
    for (unsigned bits = 1; bits < 8; ++bits) {
      if (held_[stepped(node, bits)] != held_[node]) return false;
    }
    return true;
  }

  /// Adds what of the boundary lies in one tetrahedron: a triangle or two.
  void add(const std::array<std::size_t, 4>& corners) {
    std::array<std::size_t, 4> in{};
    std::array<std::size_t, 4> out{};
    std::size_t ins = 0;
    std::size_t outs = 0;
    for (const std::size_t corner : corners) (held_[corner] ? in[ins++] : out[outs++]) = corner;
    if (ins == 1) add_triangle({{{in[0], out[0]}, {in[0], out[1]}, {in[0], out[2]}}});
    if (ins == 3) add_triangle({{{in[0], out[0]}, {in[1], out[0]}, {in[2], out[0]}}});
    if (ins == 2) {
      add_triangle({{{in[0], out[0]}, {in[0], out[1]}, {in[1], out[1]}}});
      add_triangle({{{in[0], out[0]}, {in[1], out[1]}, {in[1], out[0]}}});
    }
  }

  using Edge = std::pair<std::size_t, std::size_t>;  ///< from the node inside to the one outside

  /// Turns the triangle so that it faces outwards. The middles of the edges say how, whatever shape it has after its
  /// corners moved: so neighbours always agree.
  void add_triangle(const std::array<Edge, 3>& edges) {
    std::array<Vec, 3> middle{};
    Vec outwards{};
    for (std::size_t c = 0; c < 3; ++c) {
      const Vec from = place(edges[c].first) - grid_.least;
      const Vec to = place(edges[c].second) - grid_.least;
      middle[c] = 0.5 * (from + to);
      outwards = outwards + (to - from);
    }
    std::array<std::uint32_t, 3> triangle{vertex(edges[0]), vertex(edges[1]), vertex(edges[2])};
    if (dot(cross(middle[1] - middle[0], middle[2] - middle[0]), outwards) < 0) std::swap(triangle[1], triangle[2]);
    mesh_.triangles.push_back(triangle);
  }

  /// The vertex on an edge, made when it is new: where the boundary crosses, by halving.
  std::uint32_t vertex(const Edge& edge) {
    const auto [low_node, high_node] = std::minmax(edge.first, edge.second);
    const std::size_t key = low_node * held_.size() + high_node;
    const auto [found, is_new] = made_.try_emplace(key, static_cast<std::uint32_t>(mesh_.vertices.size()));
    if (is_new) {
      Point low = place(edge.first);
      Point high = place(edge.second);
      for (int halving = 0; halving < 20; ++halving) {
        const Point middle = low + 0.5 * (high - low);
        (holds_in_box(middle) ? low : high) = middle;
      }
      mesh_.vertices.push_back(low);
    }
    return found->second;
  }

  MeshGrid grid_;
  std::array<std::size_t, 3> nodes_;
  const std::function<bool(const Point&)>& inside_;
  std::vector<bool> held_;
  std::unordered_map<std::size_t, std::uint32_t> made_;
  Mesh mesh_;
};

}  // namespace

Mesh mesh_where(const std::function<bool(const Point&)>& inside, const MeshGrid& grid) {
  return Tetrahedra(inside, grid).mesh();
}

Mesh medium_mesh(const Scene& scene, MediumId medium, const MeshGrid& grid) {
  return mesh_where([&](const Point& p) { return scene.medium_at(p) == medium; }, grid);
}

double volume_mm3(const Mesh& mesh) {
  double six_volumes = 0;
  for (const auto& [a, b, c] : mesh.triangles) {
    const Point origin{};
    six_volumes += dot(mesh.vertices[a] - origin, cross(mesh.vertices[b] - origin, mesh.vertices[c] - origin));
  }
  return six_volumes / 6;
}

}  // namespace throughcure::anatomy
