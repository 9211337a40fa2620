// The section and the mesh against the scene that they are views of.
#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <numbers>

#include <gtest/gtest.h>

#include "support/demo_site.hpp"
#include "throughcure/anatomy/mesh.hpp"
#include "throughcure/anatomy/section.hpp"
#include "throughcure/anatomy/states.hpp"
#include "throughcure/base/random.hpp"

namespace throughcure::anatomy {
namespace {

using base::Point;
using base::Vec;

Scene ball(double radius) {
  SceneBuilder builder("air");
  builder.add(builder.medium("ball"), {ellipsoid(Point{0, 0, 0}, {radius, radius, radius})});
  return builder.scene();
}

/// Which meshes hold a point: turns of the surface round it, by what lies above it along z.
bool inside(const Mesh& mesh, const Point& p) {
  int turns = 0;
  for (const auto& [i, j, k] : mesh.triangles) {
    const Point& a = mesh.vertices[i];
    const Point& b = mesh.vertices[j];
    const Point& c = mesh.vertices[k];
    if (std::max({a.x, b.x, c.x}) < p.x || std::min({a.x, b.x, c.x}) > p.x) continue;
    if (std::max({a.y, b.y, c.y}) < p.y || std::min({a.y, b.y, c.y}) > p.y) continue;
    const auto side = [&](const Point& u, const Point& v) {
      return (v.x - u.x) * (p.y - u.y) - (v.y - u.y) * (p.x - u.x);
    };
    const double ab = side(a, b);
    const double bc = side(b, c);
    const double ca = side(c, a);
    const bool turns_left = ab > 0 && bc > 0 && ca > 0;
    const bool turns_right = ab < 0 && bc < 0 && ca < 0;
    if (!turns_left && !turns_right) continue;
    const double z = (bc * a.z + ca * b.z + ab * c.z) / (ab + bc + ca);
    if (z > p.z) turns += turns_left ? 1 : -1;
  }
  return turns != 0;
}

/// The triangles that a plane of that y meets: all that `inside` needs for points in it.
Mesh met_by_plane(const Mesh& mesh, double y) {
  Mesh met{mesh.vertices, {}};
  std::ranges::copy_if(mesh.triangles, std::back_inserter(met.triangles), [&](const auto& t) {
    const auto [low, high] = std::minmax({mesh.vertices[t[0]].y, mesh.vertices[t[1]].y, mesh.vertices[t[2]].y});
    return low <= y && y <= high;
  });
  return met;
}

/// Whether another medium lies within a distance.
bool near_boundary(const Scene& scene, const Point& p, double distance) {
  const MediumId here = scene.medium_at(p);
  for (int shell = 1; shell <= 8; ++shell) {
    for (int i = 0; i < 200; ++i) {
      const double z = 1 - (2.0 * i + 1) / 200;
      const double turn = i * std::numbers::pi * (3 - std::sqrt(5.0));
      const double r = std::sqrt(1 - z * z);
      if (scene.medium_at(p + Vec{r * std::cos(turn), r * std::sin(turn), z} * (distance * shell / 8)) != here) {
        return true;
      }
    }
  }
  return false;
}

TEST(Mesh, OfABallClosesFacesOutwardsAndHasItsVolume) {
  const Mesh mesh = medium_mesh(ball(2), 1, {{-3, -3, -3}, {3, 3, 3}, 0.2});
  std::map<std::pair<std::uint32_t, std::uint32_t>, int> edges;
  for (const auto& t : mesh.triangles) {
    for (std::size_t c = 0; c < 3; ++c) ++edges[{t[c], t[(c + 1) % 3]}];
  }
  for (const auto& [edge, times] : edges) {
    EXPECT_EQ(times, 1);
    EXPECT_EQ(edges.count({edge.second, edge.first}), 1U);
  }
  for (const Point& v : mesh.vertices) EXPECT_NEAR(length(v - Point{}), 2, 1e-5);
  // An inscribed surface loses about spacing^2 / radius^2 of the volume: here 1 %.
  const double whole = 4.0 / 3 * std::numbers::pi * 8;
  EXPECT_NEAR(volume_mm3(mesh), whole, 0.01 * whole);
  EXPECT_LT(volume_mm3(mesh), whole);
}

TEST(Outlines, OfABallIsACircle) {
  const SectionPlane plane{{-3, 0, -3}, {1, 0, 0}, {0, 0, 1}, 6, 6};
  const auto lines = outlines(ball(2), plane, 0.1, 1);
  ASSERT_EQ(lines.size(), 1U);
  double twice_area = 0;
  for (std::size_t i = 0; i < lines[0].size(); ++i) {
    const auto& p = lines[0][i];
    const auto& q = lines[0][(i + 1) % lines[0].size()];
    EXPECT_NEAR(std::hypot(p[0] - 3, p[1] - 3), 2, 1e-6);
    twice_area += p[0] * q[1] - p[1] * q[0];
  }
  // The medium on the right hand of someone who walks along it on the page, whose second axis points down.
  EXPECT_NEAR(twice_area / 2, 4 * std::numbers::pi, 0.02);
  EXPECT_EQ(outlines(ball(2), plane, 0.1, 0).size(), 2U);  // the air: the rectangle and the hole in it
}

TEST(Outlines, OpenSidesAreCutOffAtTheRectangle) {
  const SectionPlane plane{{0, 0, -1}, {1, 0, 0}, {0, 0, 1}, 1, 2};
  const auto lines = outlines(ball(2), plane, 0.25, 1);
  ASSERT_EQ(lines.size(), 1U);
  for (const auto& p : lines[0]) {
    EXPECT_GE(p[0], -1e-6);
    EXPECT_LE(p[0], 1 + 1e-6);
    EXPECT_GE(p[1], -1e-6);
    EXPECT_LE(p[1], 2 + 1e-6);
  }
}

// 10,000 random points in five sections of the demo's site (issue 2, section 3). What a pixel or the mesh says of a
// point may differ from the scene only within a pixel's half diagonal, or a grid cell's diagonal, of a boundary.
TEST(Views, SectionMeshAndSceneAgreeAtTenThousandPoints) {
  constexpr double kPixel = 0.05;
  constexpr double kSpacing = 0.3;
  const Site site = tests::demo_site();
  const Scene scene = build_scene(site, scene_states(site)[2]);
  const MeshGrid grid{{-7, -6.5, -0.5}, {8, 6.5, 12}, kSpacing};
  std::map<std::string, Mesh> meshes;
  MediumId medium = 0;
  for (const std::string& name : scene.medium_names) {
    // Adhesive and band are thinner than any grid.
    if (name != "air" && name != "adhesive" && name != "matrix") meshes[name] = medium_mesh(scene, medium, grid);
    ++medium;
  }
  int pixels_differ = 0;
  int meshes_differ = 0;
  for (int slice = 0; slice < 5; ++slice) {
    const double y = -4 + 2.013 * slice;
    std::map<std::string, Mesh> met;
    for (const auto& [name, mesh] : meshes) met[name] = met_by_plane(mesh, y);
    const SectionPlane plane{{-7, y, -0.5}, {1, 0, 0}, {0, 0, 1}, 15, 12.5};
    const Section section = cut(scene, plane, kPixel);
    ASSERT_EQ(section.columns, 300U);
    ASSERT_EQ(section.rows, 250U);
    base::Stream random(4, 0, static_cast<std::uint64_t>(slice));
    for (int i = 0; i < 2000; ++i) {
      const double right = 15 * random.uniform();
      const double down = 12.5 * random.uniform();
      const Point p = plane.at(right, down);
      const MediumId here = scene.medium_at(p);
      const auto pixel = static_cast<std::size_t>(down / kPixel) * 300 + static_cast<std::size_t>(right / kPixel);
      EXPECT_EQ(scene.medium_of(section.solids[pixel]), section.media[pixel]);
      if (section.media[pixel] != here) {
        ++pixels_differ;
        EXPECT_TRUE(near_boundary(scene, p, kPixel * std::numbers::sqrt2 / 2));
      }
      bool differs = false;
      for (const auto& [name, mesh] : met) {
        differs = differs || inside(mesh, p) != (name == scene.medium_names[here]);
      }
      if (differs) {
        ++meshes_differ;
        EXPECT_TRUE(near_boundary(scene, p, kSpacing * std::numbers::sqrt3)) << p.x << " " << p.y << " " << p.z;
      }
    }
  }
  // Vertices lie on the true faces, so what is left are edges, corners and thin layers.
  EXPECT_LT(pixels_differ, 150);
  EXPECT_LT(meshes_differ, 150);
  RecordProperty("pixels_differ", pixels_differ);
  RecordProperty("meshes_differ", meshes_differ);
}

}  // namespace
}  // namespace throughcure::anatomy
