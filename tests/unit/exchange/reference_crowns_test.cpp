// The embedded crowns: every class and arch is there, and their sizes make a tooth.
#include "throughcure/exchange/reference_crowns.hpp"

#include <algorithm>

#include <gtest/gtest.h>

#include "support/demo_site.hpp"
#include "throughcure/anatomy/site_problems.hpp"
#include "throughcure/anatomy/tooth.hpp"

namespace throughcure::exchange {
namespace {

using anatomy::Arch;
using anatomy::ToothClass;

TEST(ReferenceCrowns, EveryClassAndArchIsATooth) {
  for (const Arch arch : {Arch::kUpper, Arch::kLower}) {
    for (const ToothClass c : {ToothClass::kIncisor, ToothClass::kCanine, ToothClass::kPremolar, ToothClass::kMolar}) {
      SCOPED_TRACE(std::string(word(arch)) + " " + std::string(word(c)));
      const anatomy::CrownDimensions d = reference_crown(arch, c);
      EXPECT_LT(d.mesiodistal_cervix.value, d.mesiodistal.value);
      EXPECT_LT(d.buccolingual_cervix.value, d.buccolingual.value);
      EXPECT_LT(d.pulp_mesiodistal.value + 2 * d.enamel_at_side.value, d.mesiodistal.value);
      EXPECT_LT(d.pulp_buccolingual.value + 2 * d.enamel_at_side.value, d.buccolingual.value);
      EXPECT_LT(d.cusp_height.value + d.enamel_in_fossa.value, d.pulp_roof.value - d.pulp_horn.value);
    }
  }
}

// Source: Deutsch, Musikant 2004, J Endod 30(6) (published): buccal cusp to the chamber's floor 8.08 mm
// (upper) and 7.95 mm (lower), measured apart from the two lengths that add up to it here; they round to 0.01.
TEST(ReferenceCrowns, RoofAndHeightOfTheMolarsChamberReachItsFloor) {
  const auto floor = [](Arch arch) {
    const anatomy::CrownDimensions d = reference_crown(arch, ToothClass::kMolar);
    return d.pulp_roof.value + d.pulp_height.value;
  };
  EXPECT_NEAR(floor(Arch::kUpper), 8.08, 0.06);
  EXPECT_NEAR(floor(Arch::kLower), 7.95, 0.06);
}

TEST(ReferenceCrowns, ANumberedToothFindsItsClass) {
  const auto molar = reference_crown(*anatomy::ToothNumber::from_iso(36));
  EXPECT_EQ(molar.mesiodistal.value, 11);
  EXPECT_EQ(molar.pulp_roof.kind, base::Kind::kPublished);
}

/// Counts the points of a solid that lie outside another, on a grid of 0.3 mm over the tooth down to `bottom_mm`.
int points_outside(const std::vector<anatomy::Quadric>& inner, const std::vector<anatomy::Quadric>& outer,
                   double bottom_mm) {
  const auto inside = [](const std::vector<anatomy::Quadric>& faces, const base::Point& p) {
    return std::ranges::all_of(faces, [&](const anatomy::Quadric& q) { return value(q, p) <= 0; });
  };
  int outside = 0;
  for (int i = -22; i <= 22; ++i) {
    for (int j = -22; j <= 22; ++j) {
      for (int k = 0; 0.3 * k < bottom_mm; ++k) {
        const base::Point p{0.3 * i, 0.3 * j, 0.3 * k};
        outside += static_cast<int>(inside(inner, p) && !inside(outer, p));
      }
    }
  }
  return outside;
}

TEST(ReferenceCrowns, EveryToothHasItsPulpInDentineAndItsDentineInEnamel) {
  for (const Arch arch : {Arch::kUpper, Arch::kLower}) {
    for (const ToothClass c : {ToothClass::kIncisor, ToothClass::kCanine, ToothClass::kPremolar, ToothClass::kMolar}) {
      SCOPED_TRACE(std::string(word(arch)) + " " + std::string(word(c)));
      const anatomy::ToothForm form = tooth_form(c, reference_crown(arch, c));
      for (const auto& part : form.pulp) EXPECT_EQ(points_outside(part, form.dentine, 16), 0);
      std::vector<anatomy::Quadric> crown = form.walls;
      crown.push_back(form.top);
      EXPECT_EQ(points_outside(form.dentine, crown, form.crown_length_mm), 0);
      EXPECT_EQ(points_outside(form.plain_dentine, crown, form.crown_length_mm), 0);
    }
  }
}

TEST(ReferenceCrowns, EverySoundToothIsASiteWithoutProblems) {
  for (int universal = 1; universal <= 32; ++universal) {
    const auto tooth = *anatomy::ToothNumber::from_universal(universal);
    const anatomy::Site site{.tooth = tooth,
                             .crown = reference_crown(tooth),
                             .cavity = {},
                             .restoration = {},
                             .mesial_neighbour = true,
                             .distal_neighbour = true,
                             .gingiva_crest_mm = {}};
    for (const auto& problem : site_problems(site)) ADD_FAILURE() << tooth.name() << ": " << problem.field;
  }
}

TEST(ReferenceCrowns, TheTestsOfAnatomyTakeTheSameLowerMolar) {
  const auto values = [](const anatomy::CrownDimensions& d) {
    return std::vector<double>{d.crown_length.value,     d.mesiodistal.value,         d.mesiodistal_cervix.value,
                               d.buccolingual.value,     d.buccolingual_cervix.value, d.cusp_height.value,
                               d.enamel_at_cusp.value,   d.enamel_in_fossa.value,     d.enamel_at_side.value,
                               d.pulp_roof.value,        d.pulp_height.value,         d.pulp_horn.value,
                               d.pulp_mesiodistal.value, d.pulp_buccolingual.value};
  };
  EXPECT_EQ(values(reference_crown(Arch::kLower, ToothClass::kMolar)), values(tests::lower_molar()));
}

}  // namespace
}  // namespace throughcure::exchange
