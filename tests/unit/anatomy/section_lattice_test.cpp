// The lattice lies in the resin, reaches its floors and walls, and leaves no gap.
#include "throughcure/anatomy/section_lattice.hpp"

#include <algorithm>
#include <cmath>

#include <gtest/gtest.h>

#include "support/demo_site.hpp"
#include "throughcure/anatomy/cutting_plane.hpp"
#include "throughcure/anatomy/states.hpp"
#include "throughcure/anatomy/targets.hpp"

namespace throughcure::anatomy {
namespace {

constexpr double kSpacing = 0.5;

struct Lattice {
  Site site = tests::demo_site();
  SectionPlane plane = section_plane(site, {});
  Scene scene = build_scene(site, scene_states(site).back());
  std::vector<LatticePlace> places = section_lattice(site, plane, kSpacing);
};

TEST(SectionLattice, EveryBallLiesInThePlaneAndWhollyInItsIncrement) {
  const Lattice demo;
  EXPECT_GE(demo.places.size(), 50U);
  EXPECT_LE(demo.places.size(), 100U);
  for (const LatticePlace& place : demo.places) {
    EXPECT_EQ(place.centre.y, 0);
    EXPECT_TRUE(place.radius_mm == 0.12 || place.radius_mm == 0.06);
    EXPECT_TRUE(lies_in_one_medium(demo.scene, place.centre, place.radius_mm));
    EXPECT_EQ(increment_of(demo.site, demo.scene.medium_at(place.centre)), place.increment);
  }
}

TEST(SectionLattice, ReachesFloorAndAxialWall) {
  const Lattice demo;
  const auto lowest = std::ranges::max_element(demo.places, {}, [](const LatticePlace& p) { return p.centre.z; });
  const double floor = 6 - demo.site.restoration.adhesive_mm;
  EXPECT_NEAR(lowest->centre.z, floor - 0.12, 0.05);
  EXPECT_EQ(lowest->increment, 0U);
  const ToothForm form = tooth_form(demo.site.tooth.tooth_class(), demo.site.crown);
  const double wall =
      axial_wall_x(*demo.site.cavity.distal, ToothSide::kDistal, form) + demo.site.restoration.adhesive_mm;
  const bool hugged = std::ranges::any_of(
      demo.places, [&](const LatticePlace& p) { return p.increment == 0 && p.centre.x - wall < 0.12 + 0.05; });
  EXPECT_TRUE(hugged);
}

TEST(SectionLattice, NoPlaceWithRoomIsFurtherThanTheSpacing) {
  const Lattice demo;
  int looked_at = 0;
  constexpr double step = 0.11;
  for (int i = 0; i * step < demo.plane.width_mm; ++i) {
    for (int j = 0; j * step < demo.plane.height_mm; ++j) {
      const double right = i * step;
      const double down = j * step;
      const base::Point p = demo.plane.at(right, down);
      const auto increment = increment_of(demo.site, demo.scene.medium_at(p));
      if (!increment || !lies_in_one_medium(demo.scene, p, 0.16)) continue;
      ++looked_at;
      double nearest = 1e9;
      for (const LatticePlace& place : demo.places) {
        if (place.increment == *increment) nearest = std::min(nearest, length(place.centre - p));
      }
      EXPECT_LT(nearest, kSpacing + 0.06) << p.x << " " << p.z;  // a pixel's diagonal more
    }
  }
  EXPECT_GT(looked_at, 500);
}

TEST(SectionLattice, IsEmptyWhereTheCutMissesTheResin) {
  const Site site = tests::demo_site();
  EXPECT_TRUE(section_lattice(site, section_plane(site, {CutDirection::kMesiodistal, 3.5}), kSpacing).empty());
}

TEST(SectionLattice, CutsAcrossToo) {
  const Site site = tests::demo_site();
  const CuttingPlane cut{CutDirection::kBuccolingual, 4.2};
  const auto places = section_lattice(site, section_plane(site, cut), kSpacing);
  EXPECT_GE(places.size(), 40U);
  for (const LatticePlace& place : places) EXPECT_NEAR(off_plane_mm(cut, place.centre), 0, 1e-12);
}

}  // namespace
}  // namespace throughcure::anatomy
