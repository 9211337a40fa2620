// Case files: the demo's three, every part that can be said, and what is said about a wrong one.
#include "throughcure/exchange/case_file.hpp"

#include <stdexcept>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/case_text.hpp"
#include "support/demo_site.hpp"
#include "throughcure/anatomy/states.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/exchange/reference_hand.hpp"
#include "throughcure/plan/aim.hpp"

namespace throughcure::exchange {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

const std::string kDemo = THROUGHCURE_SOURCE_DIR "/demo/";

/// The sound case with one text put in another's place.
std::string with(const std::string& old, const std::string& text) {
  std::string file = tests::sound_case();
  const std::size_t at = file.find(old);
  if (at == std::string::npos) throw std::invalid_argument(old);
  return file.replace(at, old.size(), text);
}

plan::Case sound(const std::string& text) {
  base::Problems problems;
  auto found = parse_case(text, "c.toml", kDemo, problems);
  if (!found) throw base::InputError(problems);
  return *std::move(found);
}

std::vector<std::string> wrong(const std::string& text) {
  base::Problems problems;
  EXPECT_FALSE(parse_case(text, "c.toml", kDemo, problems).has_value());
  std::vector<std::string> all;
  for (const auto& problem : problems) all.push_back(base::sentence(problem));
  return all;
}

TEST(CaseFile, TheDemoCasesAreTheSiteOfTheTests) {
  for (const std::string name : {"class2-poor.toml", "class2-upright.toml", "class2-good.toml"}) {
    const plan::Case plan = read_case(kDemo + name);
    const anatomy::Site site = tests::demo_site();
    EXPECT_EQ(plan.site.tooth, site.tooth);
    EXPECT_EQ(plan.site.crown.mesiodistal.value, site.crown.mesiodistal.value);
    ASSERT_TRUE(plan.site.cavity.occlusal && plan.site.cavity.distal && !plan.site.cavity.mesial);
    EXPECT_EQ(plan.site.cavity.occlusal->floor_below_cusps_mm, site.cavity.occlusal->floor_below_cusps_mm);
    EXPECT_EQ(plan.site.cavity.occlusal->width_mm, site.cavity.occlusal->width_mm);
    EXPECT_EQ(plan.site.cavity.occlusal->length_mm, site.cavity.occlusal->length_mm);
    EXPECT_EQ(plan.site.cavity.distal->floor_below_cusps_mm, site.cavity.distal->floor_below_cusps_mm);
    EXPECT_EQ(plan.site.cavity.distal->width_mm, site.cavity.distal->width_mm);
    EXPECT_EQ(plan.site.cavity.distal->axial_depth_mm, site.cavity.distal->axial_depth_mm);
    ASSERT_EQ(plan.site.restoration.increments.size(), 3U);
    for (const auto& increment : plan.site.restoration.increments) EXPECT_EQ(increment.thickness_mm, 2);
    ASSERT_TRUE(plan.site.restoration.matrix);
    EXPECT_EQ(plan.site.restoration.matrix->kind, anatomy::MatrixKind::kMetal);
    EXPECT_TRUE(plan.site.restoration.wedge);
    EXPECT_TRUE(plan.site.distal_neighbour);
    EXPECT_FALSE(plan.site.mesial_neighbour);
    EXPECT_EQ(plan.materials.size(), 1U) << "one paste, read once";
    EXPECT_THAT(plan.increment_materials, ElementsAre(0U, 0U, 0U));
    EXPECT_EQ(plan.materials[0].name, "universal paste, dark shade A3");
    EXPECT_EQ(plan.adhesive.material_class, cure::MaterialClass::kAdhesive);
    EXPECT_EQ(plan.barrier_pass.value, 1);
    EXPECT_EQ(plan.output_share.kind, base::Kind::kInvented);
    EXPECT_EQ(plan.tooth_c, 37);
  }
}

TEST(CaseFile, TheDemoSchedulesDifferAsTheyShould) {
  const plan::Case poor = read_case(kDemo + "class2-poor.toml");
  const plan::Case upright = read_case(kDemo + "class2-upright.toml");
  const plan::Case good = read_case(kDemo + "class2-good.toml");
  ASSERT_EQ(poor.schedule.size(), 4U);
  ASSERT_EQ(upright.schedule.size(), 4U);
  ASSERT_EQ(good.schedule.size(), 6U);
  const base::Point floor = plan::aim_called(poor.site, "distal box floor").value_or(base::Point{});
  for (std::size_t i = 0; i < 4; ++i) {
    for (const plan::Case* plan : {&poor, &upright, &good}) {
      EXPECT_EQ(plan->schedule[i].state, i);
      EXPECT_EQ(plan->schedule[i].seconds, i == 0 ? 10 : 20);
      EXPECT_EQ(plan->schedule[i].pose.aim.x, floor.x);
      EXPECT_EQ(plan->schedule[i].pose.aim.z, 6);
      EXPECT_EQ(plan->schedule[i].pose.from, anatomy::ToothSide::kOcclusal);
    }
    EXPECT_EQ(poor.schedule[i].pose.standoff_mm, 6);
    EXPECT_EQ(poor.schedule[i].pose.tilt_deg, 20);
    EXPECT_EQ(poor.schedule[i].pose.tilt_to, anatomy::ToothSide::kDistal);
    EXPECT_EQ(upright.schedule[i].pose.standoff_mm, 0);
    EXPECT_EQ(upright.schedule[i].pose.tilt_deg, 0);
  }
  EXPECT_EQ(good.schedule[4].state, 4U);
  EXPECT_EQ(good.schedule[4].pose.from, anatomy::ToothSide::kBuccal);
  EXPECT_EQ(good.schedule[5].pose.from, anatomy::ToothSide::kLingual);
}

TEST(CaseFile, TheExampleOfTheDocumentationIsSound) {
  const std::string page = base::read_file(THROUGHCURE_SOURCE_DIR "/docs/case.md");
  const std::size_t from = page.find("```toml\n") + 8;
  const plan::Case plan = sound(page.substr(from, page.find("```\n", from) - from));
  EXPECT_EQ(plan.schedule.size(), 1U);
  EXPECT_EQ(plan.materials.size(), 2U);
}

TEST(CaseFile, WhatIsNotSaidIsFilledIn) {
  const plan::Case plan = sound(tests::sound_case());
  EXPECT_FALSE(plan.site.restoration.matrix);
  EXPECT_FALSE(plan.site.restoration.dam);
  EXPECT_EQ(plan.site.restoration.adhesive_mm, 0.05);
  EXPECT_EQ(plan.output_share.value, 1);
  EXPECT_FALSE(plan.output_share.low || plan.output_share.high || plan.output_share.sd);
  EXPECT_EQ(plan.hand.standoff_sd_mm.value, reference_hand().standoff_sd_mm.value);
  EXPECT_EQ(plan.hand.tilt_sd_deg.kind, base::Kind::kFromMemory);
  EXPECT_EQ(plan.schedule.at(0).mode, 0U);
  EXPECT_EQ(plan.schedule.at(0).pause_before_s, 0);
  EXPECT_GT(plan.tissues.enamel.n.value, 1.5);
  EXPECT_EQ(plan.band_reflectance.value, plan.mould_reflectance.value);
  EXPECT_FALSE(plan.patient.photosensitive || plan.patient.no_natural_lens);
}

TEST(CaseFile, ReadsEveryPart) {
  const plan::Case plan = sound(R"([case]
name = "all of it"
kind = "from memory"
source = ""
[tooth]
number = 14
notation = "Universal"
mesial_neighbour = true
distal_neighbour = true
gingiva_crest_mm = 6.5
dam = true
[cavity.occlusal]
floor_below_cusps_mm = 3.5
width_mm = 2
length_mm = 5
[cavity.mesial]
floor_below_cusps_mm = 5.5
width_mm = 4
axial_depth_mm = 1.4
[adhesive]
material = "materials/adhesive.toml"
thickness_mm = 0.1
[paste]
material = "materials/universal-paste-a3.toml"
[[increment]]
layering = "oblique buccal"
thickness_mm = 3
[[increment]]
layering = "oblique lingual"
thickness_mm = 3
[[increment]]
layering = "bulk"
material = "materials/bulk-fill-universal.toml"
[matrix]
kind = "clear"
thickness_mm = 0.05
upper_edge_mm = -0.5
beyond_floor_mm = 0.8
wedge = true
[temperature]
tooth_c = 34
[light]
file = "lights/demo-light.toml"
output_share = { value = 0.9, low = 0.8, high = 0.95, kind = "published", source = "a paper" }
barrier = "plastic_smooth"
[hand]
standoff_sd_mm = 2
tilt_sd_deg = { value = 8, kind = "invented", source = "" }
wander_sd_mm = 0
[patient]
photosensitive = true
no_natural_lens = true
[[exposure]]
state = "increment 1 placed"
aim = [1, -2, 4.5]
from = "buccal"
tilt_deg = 10
tilt_to = "occlusal"
standoff_mm = 1.5
seconds = 10
mode = "soft start"
pause_before_s = 30
[[exposure]]
state = "all placed, band off"
aim = "mesial box"
standoff_mm = 0
seconds = 40
)");
  EXPECT_EQ(plan.site.tooth.iso(), 26);
  EXPECT_EQ(plan.site.tooth.name(), "upper left first molar");
  EXPECT_TRUE(plan.site.restoration.dam);
  EXPECT_EQ(plan.site.gingiva_crest_mm, 6.5);
  EXPECT_EQ(plan.site.restoration.adhesive_mm, 0.1);
  EXPECT_EQ(plan.site.restoration.increments[1].layering, anatomy::Layering::kObliqueLingual);
  EXPECT_EQ(plan.materials.size(), 2U);
  EXPECT_THAT(plan.increment_materials, ElementsAre(0U, 0U, 1U));
  EXPECT_EQ(plan.materials[1].material_class, cure::MaterialClass::kBulkFill);
  ASSERT_TRUE(plan.site.restoration.matrix);
  EXPECT_EQ(plan.site.restoration.matrix->kind, anatomy::MatrixKind::kClear);
  EXPECT_EQ(plan.site.restoration.matrix->upper_edge_mm, -0.5);
  EXPECT_EQ(plan.tooth_c, 34);
  EXPECT_EQ(plan.output_share.low, 0.8);
  EXPECT_EQ(plan.output_share.source, "a paper");
  // Source of the loss: reference/barriers.toml, 0.065 with 0.05 to 0.08.
  EXPECT_DOUBLE_EQ(plan.barrier_pass.value, 0.935);
  EXPECT_DOUBLE_EQ(plan.barrier_pass.low.value_or(0), 0.92);
  EXPECT_DOUBLE_EQ(plan.barrier_pass.high.value_or(0), 0.95);
  EXPECT_EQ(plan.hand.standoff_sd_mm.value, 2);
  EXPECT_EQ(plan.hand.standoff_sd_mm.kind, base::Kind::kFromMemory) << "as the case says of its numbers";
  EXPECT_EQ(plan.hand.tilt_sd_deg.kind, base::Kind::kInvented);
  EXPECT_TRUE(plan.patient.photosensitive && plan.patient.no_natural_lens);
  EXPECT_EQ(plan.schedule.at(0).state, 1U);
  EXPECT_EQ(plan.schedule.at(0).pose.aim.y, -2);
  EXPECT_EQ(plan.schedule.at(0).pose.tilt_to, anatomy::ToothSide::kOcclusal);
  EXPECT_EQ(plan.schedule.at(0).mode, 1U);
  EXPECT_EQ(plan.schedule.at(0).pause_before_s, 30);
  EXPECT_EQ(plan.schedule.at(1).state, 4U);
}

TEST(CaseFile, AFrontToothTakesAClassThree) {
  const plan::Case plan = sound(R"([case]
name = "a Class III"
kind = "invented"
source = ""
[tooth]
number = 11
[cavity.front]
side = "mesial"
roof_below_edge_mm = 3
floor_below_edge_mm = 6
axial_depth_mm = 1.5
labial_wall_mm = 1.5
[adhesive]
material = "materials/adhesive.toml"
[paste]
material = "materials/universal-paste-a3.toml"
[[increment]]
layering = "bulk"
[light]
file = "lights/demo-light.toml"
barrier_pass = { value = 0.9, low = 0.85, high = 0.95 }
[[exposure]]
state = "increment 1 placed"
aim = "front"
from = "lingual"
standoff_mm = 1
seconds = 20
)");
  EXPECT_EQ(plan.site.tooth.tooth_class(), anatomy::ToothClass::kIncisor);
  ASSERT_TRUE(plan.site.cavity.front);
  EXPECT_EQ(plan.site.cavity.front->side, anatomy::ToothSide::kMesial);
  EXPECT_EQ(plan.barrier_pass.low, 0.85);
  EXPECT_LT(plan.schedule.at(0).pose.aim.x, 0);
}

TEST(CaseFile, EverythingWrongIsFoundInOneGo) {
  EXPECT_THAT(wrong(R"([case]
name = "wrong in many ways"
kind = "guessed"
source = ""
[tooth]
number = 36
distal_neighbor = true
[cavity.distal]
floor_below_cusps_mm = nan
width_cm = 0.4
axial_depth_mm = 1.5
[adhesive]
material = "materials/universal-paste-a3.toml"
[paste]
material = "materials/adhesive.toml"
[[increment]]
layering = "horizontal"
thickness_mm = -2
[[increment]]
layering = "bulk"
thickness_mm = 2
[matrix]
kind = "steel"
[light]
file = "lights/demo-light.toml"
barrier = "cling film"
[[exposure]]
state = "increment 2 placed"
aim = "distal floor"
standoff_mm = -1
seconds = 700
[[exposure]]
state = "adhesive bare"
aim = [0, 0]
from = "buccal"
tilt_deg = 20
tilt_to = "lingual"
standoff_mm = 0
seconds = 7
[[exposure]]
state = "increment 3 placed"
aim = "distal box"
tilt_deg = 20
standoff_mm = 0
seconds = 20
mode = "turbo"
)"),
              ElementsAre(HasSubstr("c.toml:3:8: case.kind: \"guessed\" is not known here"),
                          "c.toml:7:1: tooth.distal_neighbor: this key is not used. Did you mean "
                          "distal_neighbour? Otherwise take it out.",
                          HasSubstr("c.toml:8:1: cavity.distal.width_mm: it is missing"),
                          HasSubstr("c.toml:9:24: cavity.distal.floor_below_cusps_mm: nan is not a number"),
                          "c.toml:10:1: cavity.distal.width_cm: this key is not used. Give it as width_mm: 1 cm is 10 "
                          "mm.",
                          HasSubstr("c.toml:13:12: adhesive.material: \"universal paste, dark shade A3\" is of the "
                                    "class paste. Name a material of the class adhesive"),
                          HasSubstr("c.toml:15:12: paste.material: \"one-bottle adhesive\" is of the class adhesive. "
                                    "Name a material of the class paste, flowable, bulk-fill"),
                          HasSubstr("c.toml:18:16: increment[1].thickness_mm: -2 mm is not above 0 mm"),
                          HasSubstr("c.toml:21:16: increment[2].thickness_mm: a bulk increment has no thickness"),
                          HasSubstr("c.toml:23:8: matrix.kind: \"steel\" is not known here. Give one of: metal, clear"),
                          AllOf(HasSubstr("c.toml:26:11: light.barrier: \"cling film\" is not known here"),
                                HasSubstr("none, plastic_smooth")),
                          HasSubstr("c.toml:29:7: exposure[1].aim: \"distal floor\" is not known here. Give one of: "
                                    "distal box, distal box floor"),
                          HasSubstr("c.toml:30:15: exposure[1].standoff_mm: -1 mm is below the least allowed, 0 mm"),
                          HasSubstr("c.toml:31:11: exposure[1].seconds: 700 s is above the most allowed, 600 s"),
                          HasSubstr("c.toml:33:9: exposure[2].state: \"adhesive bare\" comes before \"increment 2 "
                                    "placed\""),
                          HasSubstr("c.toml:34:7: exposure[2].aim: 2 given, where 3 to 3 may be"),
                          HasSubstr("c.toml:37:11: exposure[2].tilt_to: the tip comes from the buccal side"),
                          "c.toml:39:11: exposure[2].seconds: 7 s is on no button of the mode \"standard\". Give 5, "
                          "10, 20 s, or a multiple of one of them.",
                          HasSubstr("c.toml:40:1: exposure[3].tilt_to: it is missing, and the tip is tilted by 20 deg"),
                          AllOf(HasSubstr("c.toml:41:9: exposure[3].state: \"increment 3 placed\" is not known here"),
                                HasSubstr("adhesive bare, increment 1 placed, increment 2 placed, all placed")),
                          AllOf(HasSubstr("c.toml:46:8: exposure[3].mode: \"turbo\" is not known here"),
                                HasSubstr("standard, soft start"))));
}

TEST(CaseFile, WhatIsWrongWithTheSiteStandsWhereItWasWritten) {
  EXPECT_THAT(wrong(with("floor_below_cusps_mm = 6", "floor_below_cusps_mm = 9")),
              ElementsAre(HasSubstr("c.toml:12:24: cavity.distal.floor_below_cusps_mm: 9 mm below the cusps is larger "
                                    "than the tooth: its crown ends at 7.5 mm")));
  EXPECT_THAT(wrong(with("width_mm = 4", "width_mm = 11")),
              ElementsAre(HasSubstr("c.toml:13:12: cavity.distal.width_mm: 11 mm is larger than the tooth there")));
  EXPECT_THAT(wrong(with("axial_depth_mm = 1.5", "axial_depth_mm = 3.5")),
              ElementsAre(HasSubstr("cavity.distal: it comes within 0.3 mm of the pulp")));
  EXPECT_THAT(wrong(with("thickness_mm = 6", "thickness_mm = 3")),
              ElementsAre(HasSubstr("c.toml:19:1: increment: they end")));
  EXPECT_THAT(wrong(with("[light]", "[[increment]]\nlayering = \"horizontal\"\nthickness_mm = 2\n[light]")),
              ElementsAre(HasSubstr("c.toml:22:1: increment[2]: it begins above the crown's surface")));
  EXPECT_THAT(wrong(with("[light]", "[matrix]\nkind = \"metal\"\nwedge = true\n[light]")),
              ElementsAre(HasSubstr("c.toml:24:9: matrix.wedge: a wedge needs a band, a box and a neighbour")));
  EXPECT_THAT(wrong(with("number = 36", "number = 11")),
              testing::Contains(HasSubstr("cavity: Class II, distal-occlusal is for premolars and molars")));
}

TEST(CaseFile, ATiltNeedsADirectionSquareToTheSideTheTipComesFrom) {
  const auto tilted = [](const std::string& lines) { return with("standoff_mm = 0", lines + "\nstandoff_mm = 0"); };
  for (const std::string side : {"mesial", "distal", "buccal", "lingual"}) {
    EXPECT_NO_THROW((void)sound(tilted("tilt_deg = 5\ntilt_to = \"" + side + "\""))) << side;
  }
  EXPECT_THAT(wrong(tilted("tilt_deg = 5\ntilt_to = \"occlusal\"")),
              ElementsAre(HasSubstr("tilt_to: the tip comes from the occlusal side")));
  EXPECT_THAT(wrong(tilted("from = \"lingual\"\ntilt_deg = 5\ntilt_to = \"buccal\"")),
              ElementsAre(HasSubstr("is no tilt. Give a side square to it")));
  EXPECT_THAT(wrong(tilted("from = \"lingual\"\ntilt_to = \"lingual\"")), ElementsAre(HasSubstr("is no tilt")));
  EXPECT_THAT(wrong(tilted("tilt_deg = 81")), testing::Contains(HasSubstr("above the most allowed, 80 deg")));
}

TEST(CaseFile, SecondsAreThoseOfTheButtons) {
  EXPECT_NO_THROW((void)sound(with("seconds = 20", "seconds = 60"))) << "three presses, one after the other";
  EXPECT_THAT(wrong(with("seconds = 20", "seconds = 21")), ElementsAre(HasSubstr("on no button")));
  EXPECT_THAT(wrong(with("seconds = 20", "seconds = 20\nmode = \"two levels\"\npause_before_s = -1")),
              ElementsAre(HasSubstr("pause_before_s: -1 s is below")));
  EXPECT_THAT(wrong(with("seconds = 20", "seconds = 40\nmode = \"two levels\"")),
              ElementsAre(HasSubstr("40 s takes several presses, and the mode \"two levels\" starts again at each")));
}

TEST(CaseFile, APasteThatNoIncrementTakesIsNotUsed) {
  EXPECT_THAT(wrong(with("thickness_mm = 6", "thickness_mm = 6\nmaterial = \"materials/bulk-fill-universal.toml\"")),
              ElementsAre(HasSubstr("c.toml:17:2: paste: this key is not used")));
  EXPECT_THAT(wrong(with("[paste]\nmaterial = \"materials/universal-paste-a3.toml\"\n", "")),
              ElementsAre(HasSubstr("paste: it is missing. Give a table, [paste]")));
}

TEST(CaseFile, WhatIsWrongInANamedFileIsSaidTooAfterTheCasesOwn) {
  const auto all = wrong(with("materials/adhesive.toml", "materials/none.toml"));
  ASSERT_EQ(all.size(), 1U);
  EXPECT_THAT(all[0], AllOf(HasSubstr("materials/none.toml"), HasSubstr("there is no such file")));
  EXPECT_THAT(wrong(with("file = \"lights/demo-light.toml\"",
                         "file = \"lights/none.toml\"\nbarrier = \"none\"\n"
                         "barrier_pass = 0.9\noutput_share = 0")),
              ElementsAre(HasSubstr("c.toml:25:16: light.barrier_pass: both the barrier's name"),
                          HasSubstr("light.output_share: 0 is not above 0"), HasSubstr("lights/none.toml")));
}

TEST(CaseFile, NamesThatLeadOutOfTheFolderAreRefusedWhereThatIsAsked) {
  for (const std::string name : {"../lights/demo-light.toml", "/etc/passwd", "lights/../../x.toml", ".."}) {
    base::Problems problems;
    const std::string text = with("lights/demo-light.toml", name);
    EXPECT_FALSE(parse_case(text, "c.toml", case_files(kDemo, true), problems).has_value());
    ASSERT_EQ(problems.size(), 1U) << name;
    EXPECT_EQ(problems[0].field, "light.file");
    EXPECT_THAT(problems[0].what, HasSubstr("leads out of the folder"));
  }
  base::Problems problems;
  EXPECT_TRUE(parse_case(with("lights/demo", "lights/../lights/demo"), "c.toml", case_files(kDemo, true), problems));
  EXPECT_THAT(problems, IsEmpty());
}

TEST(CaseFile, AFileThatIsNotThereOrNoTomlIsOneProblem) {
  EXPECT_THROW((void)read_case("/no/such/case.toml"), base::InputError);
  EXPECT_THAT(wrong("[case\n"), ElementsAre(HasSubstr("c.toml:1:6")));
}

}  // namespace
}  // namespace throughcure::exchange
