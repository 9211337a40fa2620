// The places that must cure: they are where their names say, and lie inside their increment in every state.
#include "throughcure/anatomy/targets.hpp"

#include <algorithm>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/demo_site.hpp"
#include "throughcure/anatomy/site_problems.hpp"
#include "throughcure/anatomy/states.hpp"
#include "throughcure/base/random.hpp"

namespace throughcure::anatomy {
namespace {

using base::Point;
using ::testing::ElementsAre;
using ::testing::IsEmpty;
using tests::demo_site;

std::vector<std::string> names(const Site& site) {
  std::vector<std::string> all;
  for (const Target& target : targets(site)) all.push_back(target.name);
  return all;
}

Target named(const Site& site, const std::string& name) {
  const auto all = targets(site);
  return *std::ranges::find(all, name, &Target::name);
}

/// Every target lies in one medium from the state on in which its increment is there, and before that in air or none.
void expect_inside(const Site& site) {
  for (const SceneState& state : scene_states(site)) {
    const Scene scene = build_scene(site, state);
    for (const Target& target : targets(site)) {
      const auto here = increment_of(site, scene.medium_at(target.centre));
      if (state.increments <= target.increment) {
        EXPECT_FALSE(here) << target.name << ", " << state.name;
      } else {
        EXPECT_EQ(here, target.increment) << target.name << ", " << state.name;
        EXPECT_TRUE(lies_in_one_medium(scene, target.centre, target.radius_mm)) << target.name << ", " << state.name;
      }
    }
  }
}

TEST(Targets, OfTheDemosSite) {
  EXPECT_THAT(names(demo_site()),
              ElementsAre("gingival floor, centre", "gingival floor, buccal half", "gingival floor, lingual half",
                          "gingival floor, buccal line angle", "gingival floor, lingual line angle",
                          "gingival floor, axial line angle", "gingival floor, distal margin", "pulpal floor, centre",
                          "pulpal floor, buccal line angle", "pulpal floor, lingual line angle", "increment 2, bottom",
                          "increment 3, bottom", "top, under the surface"));
  expect_inside(demo_site());
}

TEST(Targets, LieWhereTheirNamesSay) {
  const Site site = demo_site();
  const Target centre = named(site, "gingival floor, centre");
  EXPECT_EQ(centre.increment, 0U);
  EXPECT_NEAR(centre.centre.z, 6 - 0.05 - 0.12, 0.03);  // floor, adhesive, radius; a step of the search
  EXPECT_EQ(centre.centre.y, 0);
  EXPECT_NEAR(named(site, "gingival floor, buccal line angle").centre.y, -(2 - 0.05 - 0.12), 0.03);
  EXPECT_NEAR(named(site, "gingival floor, lingual line angle").centre.y, 2 - 0.05 - 0.12, 0.03);
  EXPECT_LT(named(site, "gingival floor, axial line angle").centre.x, centre.centre.x - 0.4);
  EXPECT_GT(named(site, "gingival floor, distal margin").centre.x, centre.centre.x + 0.4);
  EXPECT_NEAR(named(site, "increment 2, bottom").centre.z, 4 - 0.12, 0.04);
  EXPECT_EQ(named(site, "top, under the surface").increment, 2U);
}

TEST(Targets, TwoBoxesAreToldApart) {
  Site site = demo_site();
  site.cavity.mesial = ProximalBox{.floor_below_cusps_mm = 5, .width_mm = 3.5, .axial_depth_mm = 1.3};
  ASSERT_THAT(site_problems(site), IsEmpty());
  EXPECT_LT(named(site, "mesial gingival floor, centre").centre.x, -3);
  EXPECT_GT(named(site, "distal gingival floor, centre").centre.x, 3);
  EXPECT_EQ(name(site.cavity), "Class II, mesial-occlusal-distal");
  expect_inside(site);
}

Site upper_incisor() {
  const auto mm = [](double value) { return base::Sourced{.value = value, .unit = "mm"}; };
  Site site = demo_site();
  site.tooth = *ToothNumber::from_iso(11);
  // As in reference/crowns.toml.
  site.crown = {.crown_length = mm(10.5),
                .mesiodistal = mm(8.5),
                .mesiodistal_cervix = mm(7),
                .buccolingual = mm(7),
                .buccolingual_cervix = mm(6),
                .cusp_height = mm(0),
                .enamel_at_cusp = mm(1.5),
                .enamel_in_fossa = mm(0),
                .enamel_at_side = mm(0.8),
                .pulp_roof = mm(5),
                .pulp_height = mm(6),
                .pulp_horn = mm(0),
                .pulp_mesiodistal = mm(2.4),
                .pulp_buccolingual = mm(1.6)};
  site.cavity = {.occlusal = {}, .mesial = {}, .distal = {}, .front = FrontPart{}};
  site.restoration.matrix->kind = MatrixKind::kClear;
  site.restoration.wedge = false;
  site.restoration.increments = {{Layering::kHorizontal, 2}, {Layering::kHorizontal, 2}};
  return site;
}

TEST(Targets, OfAClassThreeLieInItAndItOpensTowardsTheTongue) {
  const Site site = upper_incisor();
  for (const SiteProblem& problem : site_problems(site)) ADD_FAILURE() << problem.field << ": " << problem.what;
  EXPECT_EQ(name(site.cavity), "Class III, distal");
  EXPECT_THAT(names(site),
              ElementsAre("gingival floor, centre", "gingival floor, labial line angle",
                          "gingival floor, axial line angle", "gingival floor, lingual margin",
                          "incisal wall, labial line angle", "increment 2, bottom", "top, under the surface"));
  expect_inside(site);
  // From a bare floor the way to the tongue is free, and the way to the lip and to the edge is not.
  const Scene scene = build_scene(site, {"band off", 0, false});
  const Point floor = named(site, "gingival floor, centre").centre;
  const auto free = [&](const base::Direction& d) {
    for (int i = 0; i < 100; ++i) {
      if (scene.medium_at(floor + d * (0.1 * i)) != scene.background) return false;
    }
    return true;
  };
  EXPECT_TRUE(free(outward(ToothSide::kLingual)));
  EXPECT_FALSE(free(outward(ToothSide::kBuccal)));
  EXPECT_FALSE(free(outward(ToothSide::kOcclusal)));
}

TEST(SiteProblems, AClassThreeStaysInItsFrontTooth) {
  const auto only = [](const Site& site) { return site_problems(site).at(0).field; };
  Site low = upper_incisor();
  low.cavity.front->floor_below_edge_mm = 11;
  EXPECT_EQ(only(low), "cavity.front.floor_below_edge_mm");
  Site high = upper_incisor();
  high.cavity.front->roof_below_edge_mm = 0.5;
  EXPECT_EQ(only(high), "cavity.front.roof_below_edge_mm");
  Site inward = upper_incisor();
  inward.cavity.front->axial_depth_mm = 4;
  EXPECT_EQ(only(inward), "cavity.front.axial_depth_mm");
  Site closed = upper_incisor();
  closed.cavity.front->labial_wall_mm = 6;
  EXPECT_EQ(only(closed), "cavity.front.labial_wall_mm");
  Site molar = upper_incisor();
  molar.tooth = *ToothNumber::from_iso(16);
  EXPECT_EQ(only(molar), "cavity.front");
}

// 60 random cavities that have no problem; fixed seed.
TEST(Targets, LieInsideTheirIncrementsForRandomSites) {
  int built = 0;
  for (std::uint64_t id = 0; built < 60 && id < 2000; ++id) {
    base::Stream random(8, 0, id);
    const auto between = [&](double low, double high) { return low + (high - low) * random.uniform(); };
    Site site = demo_site();
    site.cavity.distal = ProximalBox{between(4, 7), between(2.5, 6), between(1, 2)};
    if (random.uniform() < 0.3) site.cavity.mesial = ProximalBox{between(4, 7), between(2.5, 6), between(1, 2)};
    site.cavity.occlusal = OcclusalPart{between(3, 4.5), between(1.5, 3), between(3, 7)};
    if (random.uniform() < 0.2) {
      site.cavity.distal.reset();
      site.restoration.wedge = false;
    }
    site.restoration.adhesive_mm = between(0, 0.1);
    const double thickness = between(0.8, 3);
    site.restoration.increments.clear();
    for (int i = 0; i < 20 && (i == 0 || site_problems(site).front().field == "restoration.increments"); ++i) {
      site.restoration.increments.push_back({Layering::kHorizontal, thickness});
      if (site_problems(site).empty()) break;
    }
    if (!site_problems(site).empty()) continue;
    ++built;
    SCOPED_TRACE("site " + std::to_string(id));
    EXPECT_GE(targets(site).size(), site.cavity.distal ? 11U : 4U);  // floors, line angles, margin, top
    expect_inside(site);
  }
  EXPECT_EQ(built, 60);
}

}  // namespace
}  // namespace throughcure::anatomy
