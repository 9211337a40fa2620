// The meshes of a state: which there are, how large, and that they close.
#include "throughcure/anatomy/state_meshes.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <gtest/gtest.h>

#include "support/demo_site.hpp"

namespace throughcure::anatomy {
namespace {

std::map<std::string, Mesh> meshes_of(std::size_t state) {
  const Site site = tests::demo_site();
  std::map<std::string, Mesh> all;
  for (const MediumMesh& one : state_meshes(site, scene_states(site)[state])) all[one.medium] = one.mesh;
  return all;
}

int open_edges(const Mesh& mesh) {
  std::map<std::pair<std::uint32_t, std::uint32_t>, int> edges;
  for (const auto& t : mesh.triangles) {
    for (std::size_t c = 0; c < 3; ++c) {
      const std::uint32_t from = t[c];
      const std::uint32_t to = t[(c + 1) % 3];
      edges[std::minmax(from, to)] += from < to ? 1 : -1;
    }
  }
  return static_cast<int>(std::ranges::count_if(edges, [](const auto& edge) { return edge.second != 0; }));
}

TEST(StateMeshes, ThereIsOneForEachMediumInSight) {
  const auto filled = meshes_of(3);
  for (const char* medium : {"enamel", "dentine", "pulp", "gingiva", "increment 1", "increment 2", "increment 3",
                             "matrix", "wedge", "neighbour enamel", "neighbour dentine"}) {
    EXPECT_TRUE(filled.contains(medium)) << medium;
  }
  EXPECT_EQ(filled.size(), 11U);
  const auto bare = meshes_of(0);
  EXPECT_FALSE(bare.contains("increment 1"));
  EXPECT_FALSE(meshes_of(4).contains("matrix"));
}

TEST(StateMeshes, AllButTheBandClose) {
  for (const auto& [medium, mesh] : meshes_of(3)) {
    if (medium == "matrix") {
      EXPECT_GT(open_edges(mesh), 0);
    } else {
      EXPECT_EQ(open_edges(mesh), 0) << medium;
    }
  }
}

// The first increment is a box 2 mm high less the adhesive, 4 mm wide less two of it, of the depth between axial wall
// and band: worked out from the scene by counting points.
TEST(StateMeshes, AnIncrementHasItsVolume) {
  const Site site = tests::demo_site();
  const Scene scene = build_scene(site, scene_states(site)[3]);
  const MediumId medium = 6;
  ASSERT_EQ(scene.medium_names[medium], "increment 1");
  constexpr double step = 0.05;
  double counted = 0;
  for (int i = 0; i < 80; ++i) {
    for (int j = 0; j < 100; ++j) {
      for (int k = 0; k < 60; ++k) {
        const base::Point p{2 + (i + 0.5) * step, -2.5 + (j + 0.5) * step, 3.5 + (k + 0.5) * step};
        counted += scene.medium_at(p) == medium ? step * step * step : 0;
      }
    }
  }
  EXPECT_GT(counted, 5);
  EXPECT_NEAR(volume_mm3(meshes_of(3).at("increment 1")), counted, 0.04 * counted);
}

TEST(StateMeshes, TheBandIsASleeveRoundTheTooth) {
  const Mesh band = meshes_of(3).at("matrix");
  ASSERT_GT(band.triangles.size(), 200U);
  for (const auto& t : band.triangles) {
    const auto [low, high] = std::minmax({band.vertices[t[0]].z, band.vertices[t[1]].z, band.vertices[t[2]].z});
    EXPECT_GT(high - low, 1e-6);  // no flat face across the tooth
  }
  const auto [upper, lower] = std::ranges::minmax(band.vertices, {}, &base::Point::z);
  EXPECT_NEAR(upper.z, 0, 0.01);
  EXPECT_NEAR(lower.z, 7, 0.01);
}

}  // namespace
}  // namespace throughcure::anatomy
