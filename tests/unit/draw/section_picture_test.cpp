// The section says what the case is: tissues by name, resin by its field, the contour where the criterion lies, the
// worst cell in words, the tip to scale.
#include "throughcure/draw/section_picture.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>
#include <string>
#include <utility>

#include <gtest/gtest.h>

#include "support/demo_section.hpp"
#include "support/picture_marks.hpp"
#include "throughcure/draw/ramps.hpp"
#include "throughcure/draw/rings.hpp"
#include "throughcure/draw/section_names.hpp"

namespace throughcure::draw {
namespace {

using tests::all;
using tests::words;

const anatomy::CuttingPlane kMiddle{};

const SectionBase& base_of(std::size_t state) {
  static const std::vector<SectionBase> bases = [] {
    std::vector<SectionBase> out;
    const anatomy::Site site = tests::demo_site();
    for (const anatomy::SceneState& one : anatomy::scene_states(site)) out.push_back(section_base(site, one, kMiddle));
    return out;
  }();
  return bases[state];
}

/// All three increments placed, band on, lit so that the floor stays soft.
SectionShown soft_floor() {
  const anatomy::Site site = tests::demo_site();
  SectionShown shown{.field = tests::demo_field(site, kMiddle, 3, 18),
                     .cells = tests::demo_cells(site, 18),
                     .tips = {tests::demo_tip(2, 0)}};
  for (std::size_t i = 0; i < shown.cells.size(); ++i) {
    if (shown.cells[i].target.name == "gingival floor, distal margin") shown.worst = i;
  }
  return shown;
}

TEST(SectionPicture, NamesWhatItShowsOnceEach) {
  const Picture picture = section_picture(base_of(3), soft_floor());
  for (const char* name : {"enamel", "dentine", "pulp", "gingiva", "band", "neighbour", "wedge", "increment 1",
                           "increment 2", "increment 3", "mesial", "distal", "Lower left first molar, 36",
                           "cut from mesial to distal, through the middle", "5 mm", "conversion", "tip 9.0 mm"}) {
    const auto texts = all<Text>(picture);
    EXPECT_EQ(std::ranges::count(texts, name, &Text::words), 1) << name;
  }
}

TEST(SectionPicture, NamesStandInWhatTheyNameOrLeadToIt) {
  const SectionBase& base = base_of(3);
  const anatomy::Site site = tests::demo_site();
  const anatomy::Scene scene = anatomy::build_scene(site, anatomy::scene_states(site)[3]);
  int inside = 0;
  for (const Name& name : base.names) {
    if (name.words == "band") continue;  // thinner than a pixel
    const auto medium = base.medium_at(name.from.value_or(name.middle));
    ASSERT_TRUE(medium);
    const std::string& is = scene.medium_names[*medium];
    EXPECT_TRUE(is == name.words || is == name.words + " dentine") << name.words << " stands in " << is;
    inside += name.from ? 0 : 1;
  }
  EXPECT_GE(inside, 6);
}

TEST(SectionPicture, TheContourLiesWhereTheFieldMeetsTheCriterion) {
  const Picture picture = section_picture(base_of(3), soft_floor());
  const SectionBase& base = base_of(3);
  int places = 0;
  for (const Stroke& stroke : all<Stroke>(picture)) {
    if (stroke.width_mm != 0.55) continue;  // the contour alone is so heavy
    for (const Place& p : stroke.line) {
      const base::Point at = base.scale.plane.at((p.x_mm - base.scale.corner.x_mm) / base.scale.per_mm,
                                                 (p.y_mm - base.scale.corner.y_mm) / base.scale.per_mm);
      EXPECT_NEAR(tests::demo_field_point(at, 0, 18).hardness_ratio, 0.80, 0.02);
      ++places;
    }
  }
  EXPECT_GT(places, 10);
  EXPECT_TRUE(words(picture).contains("hardness 0.80"));
}

/// The colour that a shading shows at a place.
std::optional<Colour> shown_at(const Picture& picture, const Place& p) {
  std::optional<Colour> colour;
  for (const Shading& shading : all<Shading>(picture)) {
    if (!inside(shading.clip, p)) continue;
    for (const Polygon& area : shading.areas) {
      if (inside(area.rings, p)) colour = area.colour;
    }
  }
  return colour;
}

TEST(SectionPicture, ResinHasTheColourOfItsConversion) {
  const SectionShown shown = soft_floor();
  const Picture picture = section_picture(base_of(3), shown);
  for (const plan::FieldPoint& p : shown.field) {
    const auto colour = shown_at(picture, base_of(3).scale.at(p.at));
    ASSERT_TRUE(colour);
    // Within a step of 1/48 of the ramp and what the lattice smooths.
    const OkLab wanted = conversion_ramp(p.conversion / kFullConversion);
    EXPECT_LT(difference(to_oklab(*colour), wanted), 0.02) << p.at.x << " " << p.at.z;
  }
}

TEST(SectionPicture, SoftResinIsHatchedAndHardResinIsNot) {
  const auto hatching = [](const SectionShown& shown) {
    const auto strokes = all<Stroke>(section_picture(base_of(3), shown));
    return std::ranges::count_if(strokes, [](const Stroke& s) { return s.colour.alpha == 150; });
  };
  EXPECT_GT(hatching(soft_floor()), 8);
  SectionShown hard = soft_floor();
  for (plan::FieldPoint& p : hard.field) p.hardness_ratio = 0.9;
  EXPECT_EQ(hatching(hard), 0);
  EXPECT_FALSE(words(section_picture(base_of(3), hard)).contains("hardness 0.80"));
}

TEST(SectionPicture, TheWorstCellIsNamedUnderAMarkOfItsState) {
  SectionShown shown = soft_floor();
  const auto said = words(section_picture(base_of(3), shown));
  EXPECT_TRUE(said.contains("gingival floor, distal margin: stays soft"));
  plan::CellVerdict& cell = shown.cells[*shown.worst];
  cell.hardness_ratio = {0.7, 0.81, 0.9};
  cell.probability = 0.6;
  EXPECT_TRUE(words(section_picture(base_of(3), shown)).contains("gingival floor, distal margin: uncertain"));
  EXPECT_TRUE(words(section_picture(base_of(3), shown)).contains("hardness ratio 0.81, 0.70 to 0.90"));
  cell.probability = 0.97;
  EXPECT_TRUE(words(section_picture(base_of(3), shown)).contains("gingival floor, distal margin: cures through"));
}

TEST(SectionPicture, ACellBesideTheCutIsSaidToBeThere) {
  SectionShown shown = soft_floor();
  for (std::size_t i = 0; i < shown.cells.size(); ++i) {
    if (shown.cells[i].target.name == "gingival floor, buccal line angle") shown.worst = i;
  }
  const Picture picture = section_picture(base_of(3), shown);
  const auto said = words(picture);
  const bool found =
      std::ranges::any_of(said, [](const std::string& s) { return s.ends_with("mm buccal of this cut"); });
  EXPECT_TRUE(found);
  EXPECT_NE(picture.description.find("buccal of this cut"), std::string::npos);
}

TEST(SectionPicture, ResinWithoutAFieldIsNotYetLit) {
  const Picture picture = section_picture(base_of(2), {});
  EXPECT_TRUE(words(picture).contains("the resin is not yet lit"));
  EXPECT_TRUE(words(picture).contains("not yet lit"));
  EXPECT_FALSE(words(picture).contains("conversion"));
  EXPECT_TRUE(all<Shading>(picture).empty());
  EXPECT_NE(picture.description.find("No resin in this cut is lit yet."), std::string::npos);
}

TEST(SectionPicture, TheTipIsToTheScaleOfTheRule) {
  const SectionBase& base = base_of(3);
  SectionShown shown;
  shown.tips = {{.centre = {0, 0, -2}, .axis = {0, 0, 1}, .radius_mm = 4, .half_angle_deg = 20}};
  const auto face_of = [&](const SectionShown& one) {
    for (const Stroke& stroke : all<Stroke>(section_picture(base, one))) {
      if (stroke.width_mm == 0.7) return stroke;
    }
    return Stroke{};
  };
  const Stroke face = face_of(shown);
  ASSERT_EQ(face.line.size(), 2U);
  EXPECT_NEAR(std::abs(face.line[1].x_mm - face.line[0].x_mm), 8 * base.scale.per_mm, 0.05);
  EXPECT_NEAR(face.line[0].y_mm, base.scale.at(base::Point{0, 0, -2}).y_mm, 1e-9);
  // Aimed 2 mm beside the cut it shows the chord there: 2 sqrt(16 - 4).
  shown.tips[0].centre.y = 2;
  EXPECT_NEAR(std::abs(face_of(shown).line[1].x_mm - face_of(shown).line[0].x_mm),
              2 * std::sqrt(12) * base.scale.per_mm, 0.05);
  EXPECT_TRUE(words(section_picture(base, shown)).contains("tip 8.0 mm, 2.0 mm lingual"));
  // Square to the cut: a dashed face, no beam.
  shown.tips[0] = {.centre = {0, -7, 2}, .axis = {0, 1, 0}, .radius_mm = 4, .half_angle_deg = 20};
  EXPECT_TRUE(face_of(shown).line.empty());
  EXPECT_NE(section_picture(base, shown).description.find("points square to the cut"), std::string::npos);
}

/// The one text that begins with "tip", and how far before the tip's face it stands [mm of the sheet].
std::pair<Text, double> tip_label(const SectionBase& base, const plan::TipPlace& tip) {
  SectionShown shown;
  shown.tips = {tip};
  const auto texts = all<Text>(section_picture(base, shown));
  const auto found = std::ranges::find_if(texts, [](const Text& text) { return text.words.starts_with("tip "); });
  if (found == texts.end()) return {};
  const Place face = base.scale.at(tip.centre);
  const double before = (found->at.x_mm - face.x_mm) * dot(tip.axis, base.scale.plane.right) +
                        (found->at.y_mm - face.y_mm) * dot(tip.axis, base.scale.plane.down);
  return {*found, before};
}

TEST(SectionPicture, ATipsWordsStandInItsBodyWhereThereIsRoomElseInTheAirBeforeIt) {
  const SectionBase& base = base_of(3);
  const auto near = tip_label(base, tests::demo_tip(0, 0));
  EXPECT_LT(near.second, 0) << "behind the face, in the body";
  EXPECT_EQ(near.first.words, "tip 9.0 mm");
  const auto far = tip_label(base, tests::demo_tip(5, 20));
  EXPECT_EQ(far.first.words, "tip 9.0 mm");
  EXPECT_GT(far.second, 2) << "what a hand takes hold of lies over the body";
  EXPECT_EQ(base.medium_at(far.first.at), base.background);
}

TEST(SectionPicture, ATipFromTheSideHasItsWordsAlongItsFaceAndNotBehindTheTooth) {
  const SectionBase& base = base_of(3);
  const auto [label, before] =
      tip_label(base, {.centre = {-6, 0, 3}, .axis = {1, 0, 0}, .radius_mm = 4, .half_angle_deg = 20});
  EXPECT_EQ(label.words, "tip 8.0 mm");
  EXPECT_NEAR(std::abs(label.turn_rad), 1.5708, 1e-3);
  EXPECT_LT(before, 1);
}

TEST(SectionPicture, ATipBeyondTheWindowIsCutOffWithItsDistanceWritten) {
  const SectionBase& base = base_of(3);
  const plan::TipPlace tip{.centre = {0, 0, -12.5}, .axis = {0, 0, 1}, .radius_mm = 4, .half_angle_deg = 20};
  const Text label = tip_label(base, tip).first;
  EXPECT_EQ(label.words, "tip 8.0 mm, 2.5 mm beyond this edge");
  EXPECT_GT(label.at.y_mm, base.scale.corner.y_mm + 14);
  EXPECT_EQ(base.medium_at(label.at), base.background);
  SectionShown shown;
  shown.tips = {tip};
  const auto strokes = all<Stroke>(section_picture(base, shown));
  EXPECT_EQ(std::ranges::count(strokes, 0.4, &Stroke::width_mm), 2) << "the marks of the cut";
  EXPECT_EQ(std::ranges::count(strokes, 0.7, &Stroke::width_mm), 0) << "no face in the window";
}

TEST(SectionPicture, WordsOfATipBeyondTheWindowNeverLieOverTheTooth) {
  const SectionBase& base = base_of(3);
  int beyond = 0;
  for (const double tilt : {20.0, 30.0, 40.0, 50.0, 60.0}) {
    for (const double standoff : {4.0, 6.0, 8.0, 10.0, 12.0}) {
      const auto [label, before] = tip_label(base, tests::demo_tip(standoff, tilt));
      if (!label.words.ends_with("beyond this edge")) continue;
      ++beyond;
      EXPECT_EQ(label.turn_rad, 0) << tilt << " degrees, " << standoff << " mm";
      const Box box = box_of_words(label.words, {label.at.x_mm, label.at.y_mm - 0.36 * kSmall_mm}, kSmall_mm);
      for (int i = 0; i <= 20; ++i) {
        const double x = std::lerp(box.least.x_mm, box.most.x_mm, i / 20.0);
        EXPECT_EQ(base.medium_at({x, label.at.y_mm}), base.background) << tilt << " degrees, " << standoff << " mm";
      }
    }
  }
  EXPECT_GT(beyond, 5);
}

TEST(SectionPicture, TheContoursNameCrossesNoBand) {
  const SectionBase& base = base_of(3);
  int named = 0;
  // Contours that slant through the resin from mesial to distal: the name is led to from beside each of them.
  for (int half = -8; half < 10; ++half) {
    const double x_mm = half / 2.0;
    SectionShown shown = soft_floor();
    for (plan::FieldPoint& p : shown.field) p.hardness_ratio = 0.8 + 0.04 * (p.at.x - x_mm - 1.5 * (p.at.z - 3));
    for (const Text& text : all<Text>(section_picture(base, shown))) {
      if (text.words != "hardness 0.80") continue;
      ++named;
      const Box box = box_of_words(text.words, {text.at.x_mm, text.at.y_mm - 0.36 * kSmall_mm}, kSmall_mm);
      for (const Area& area : base.areas) {
        if (area.tissue != Tissue::kBand) continue;
        for (const Line& ring : area.rings) {
          for (std::size_t i = 0; i < ring.size(); ++i) {
            for (int k = 0; k < 50; ++k) {
              const Place& p = ring[i];
              const Place& q = ring[(i + 1) % ring.size()];
              const Place on{std::lerp(p.x_mm, q.x_mm, k / 50.0), std::lerp(p.y_mm, q.y_mm, k / 50.0)};
              EXPECT_GT(gap(box, on), 0) << "contour at " << x_mm << " mm";
            }
          }
        }
      }
    }
  }
  EXPECT_GT(named, 5);
}

TEST(SectionPicture, DescriptionSaysItInWords) {
  const std::string said = section_picture(base_of(3), soft_floor()).description;
  EXPECT_TRUE(
      said.starts_with("Lower left first molar, 36, cut from mesial to distal, through the middle; mesial on "
                       "the left"));
  EXPECT_NE(said.find("Worst place: gingival floor, distal margin, stays soft"), std::string::npos);
  EXPECT_NE(said.find("A tip 9.0 mm wide points straight down."), std::string::npos);
}

TEST(SectionPicture, NamesTheToothInTheNotationOfTheCase) {
  // 19 is 36: crosswalk of the Universal designation in the HL7 tables (published).
  anatomy::Site site = tests::demo_site();
  site.notation = anatomy::ToothNotation::kUniversal;
  const Picture picture = section_picture(section_base(site, anatomy::scene_states(site)[3], kMiddle), soft_floor());
  EXPECT_TRUE(words(picture).contains("Lower left first molar, 19 (Universal)"));
  EXPECT_TRUE(picture.description.starts_with("Lower left first molar, 19 (Universal), cut from"));
}

TEST(SectionPicture, LooksDifferInPaperAndInkOnly) {
  const SectionShown shown = soft_floor();
  const Picture light = section_picture(base_of(3), shown);
  const Picture dark = section_picture(base_of(3), shown, kDarkLook);
  ASSERT_EQ(light.marks.size(), dark.marks.size());
  EXPECT_EQ(words(light), words(dark));
  EXPECT_NE(light.paper, dark.paper);
  const auto resin = all<Shading>(light);
  ASSERT_EQ(resin.size(), 4U);  // three increments and the strip
  for (std::size_t i = 0; i < resin.size(); ++i) {
    const Shading other = all<Shading>(dark)[i];
    ASSERT_EQ(resin[i].areas.size(), other.areas.size());
    for (std::size_t k = 0; k < other.areas.size(); ++k) EXPECT_EQ(resin[i].areas[k].colour, other.areas[k].colour);
  }
}

}  // namespace
}  // namespace throughcure::draw
