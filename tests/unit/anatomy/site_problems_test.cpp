// Sites that cannot be: every problem is found, and each names its field.
#include "throughcure/anatomy/site_problems.hpp"

#include <limits>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/demo_site.hpp"

namespace throughcure::anatomy {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::UnorderedElementsAre;
using tests::demo_site;

std::vector<std::string> fields(const Site& site) {
  std::vector<std::string> all;
  for (const SiteProblem& problem : site_problems(site)) {
    EXPECT_FALSE(problem.what.empty());
    EXPECT_FALSE(problem.remedy.empty());
    all.push_back(problem.field);
  }
  return all;
}

TEST(SiteProblems, TheDemosSiteHasNone) { EXPECT_THAT(fields(demo_site()), IsEmpty()); }

TEST(SiteProblems, ACavityLargerThanItsToothIsRefusedInEveryDirection) {
  Site deep = demo_site();
  deep.cavity.distal->floor_below_cusps_mm = 8;
  EXPECT_THAT(fields(deep), ElementsAre("cavity.distal.floor_below_cusps_mm"));
  Site wide = demo_site();
  wide.cavity.distal->width_mm = 10;
  EXPECT_THAT(fields(wide), ElementsAre("cavity.distal.width_mm"));
  Site inward = demo_site();
  inward.cavity.distal->axial_depth_mm = 5;
  EXPECT_THAT(fields(inward), ElementsAre("cavity.distal.axial_depth_mm"));
  Site shallow = demo_site();
  shallow.cavity.occlusal->floor_below_cusps_mm = 2;
  EXPECT_THAT(fields(shallow), ElementsAre("cavity.occlusal.floor_below_cusps_mm"));
}

TEST(SiteProblems, ThePulpIsNotCut) {
  Site box = demo_site();
  box.cavity.distal->floor_below_cusps_mm = 7;
  box.cavity.distal->axial_depth_mm = 3;
  EXPECT_THAT(fields(box), ::testing::Contains("cavity.distal"));
  Site floor = demo_site();
  floor.cavity.occlusal->floor_below_cusps_mm = 5.8;
  EXPECT_THAT(fields(floor), ::testing::Contains("cavity.occlusal"));
}

TEST(SiteProblems, AllSizesThatAreNoneAreFoundAtOnce) {
  Site site = demo_site();
  site.cavity.distal->width_mm = -4;
  site.cavity.occlusal->floor_below_cusps_mm = std::numeric_limits<double>::quiet_NaN();
  site.restoration.increments[1].thickness_mm = -2;
  site.restoration.adhesive_mm = -0.1;
  site.restoration.matrix->thickness_mm = 0;
  EXPECT_THAT(fields(site), UnorderedElementsAre("cavity.distal.width_mm", "cavity.occlusal.floor_below_cusps_mm",
                                                 "restoration.increments[2].thickness_mm", "restoration.adhesive_mm",
                                                 "restoration.matrix.thickness_mm"));
}

TEST(SiteProblems, IncrementsNeitherLeaveAGapNorGoOnAboveTheCrown) {
  Site few = demo_site();
  few.restoration.increments.pop_back();
  ASSERT_THAT(fields(few), ElementsAre("restoration.increments"));
  EXPECT_THAT(site_problems(few)[0].what, HasSubstr("below the crown's surface"));
  Site many = demo_site();
  many.restoration.increments.push_back({Layering::kHorizontal, 2});
  EXPECT_THAT(fields(many), ElementsAre("restoration.increments[4]"));
}

TEST(SiteProblems, AWedgeNeedsBandAndNeighbourAndABackToothItsClass) {
  Site alone = demo_site();
  alone.distal_neighbour = false;
  EXPECT_THAT(fields(alone), ElementsAre("restoration.wedge"));
  Site front = demo_site();
  front.tooth = *ToothNumber::from_iso(11);
  EXPECT_THAT(fields(front), ElementsAre("cavity"));
  Site whole = demo_site();
  whole.cavity = {};
  EXPECT_THAT(fields(whole), ElementsAre("cavity"));
}

}  // namespace
}  // namespace throughcure::anatomy
