// The form of a tooth: it has the sizes it was given, and its layers lie inside one another.
#include "throughcure/anatomy/tooth.hpp"

#include <algorithm>
#include <cmath>

#include <gtest/gtest.h>

#include "support/demo_site.hpp"
#include "throughcure/base/random.hpp"

namespace throughcure::anatomy {
namespace {

using base::Direction;
using base::Point;

bool inside(const std::vector<Quadric>& faces, const Point& p, double slack = 0) {
  return std::ranges::all_of(faces, [&](const Quadric& q) { return value(q, p) <= slack; });
}

TEST(Tooth, HasTheDiametersAndTheLengthItWasGiven) {
  const CrownDimensions sizes = tests::lower_molar();
  const ToothForm form = tooth_form(ToothClass::kMolar, sizes);
  EXPECT_NEAR(2 * reach(form.walls, {0, 0, form.contact_z_mm}, {1, 0, 0}), 11, 1e-9);
  EXPECT_NEAR(2 * reach(form.walls, {0, 0, 0.55 * 7.5}, {0, 1, 0}), 10.5, 1e-9);
  EXPECT_NEAR(2 * reach(form.walls, {0, 0, 7.5}, {1, 0, 0}), 9, 1e-9);
  EXPECT_NEAR(2 * reach(form.walls, {0, 0, 7.5}, {0, 1, 0}), 9, 1e-9);
  EXPECT_NEAR(surface_z(form, 0, 0), 2.2, 1e-12);
  EXPECT_NEAR(value(form.cervix, {0, 0, 7.5}), 0, 1e-12);
}

TEST(Tooth, ItsFourCuspTipsStandAtZeroAndNothingStandsHigher) {
  const ToothForm form = tooth_form(ToothClass::kMolar, tests::lower_molar());
  for (const double x : {-0.4 * 5.5, 0.4 * 5.5}) {
    for (const double y : {-0.58 * 5.25, 0.58 * 5.25}) {
      EXPECT_NEAR(surface_z(form, x, y), 0, 1e-12);
      for (int k = 0; k < 16; ++k) {
        EXPECT_GT(surface_z(form, x + 0.5 * std::cos(k * 0.3927), y + 0.5 * std::sin(k * 0.3927)), 0.05);
      }
    }
  }
  for (int i = -220; i <= 220; ++i) {
    for (int k = -210; k <= 210; ++k) EXPECT_GE(surface_z(form, 0.025 * i, 0.025 * k), -1e-12);
  }
}

TEST(Tooth, EnamelIsAsThickAsSaidOverTheFossaAndAtTheSides) {
  const ToothForm form = tooth_form(ToothClass::kMolar, tests::lower_molar());
  // Under the fossa the dentine begins where the bowl of enamel ends.
  EXPECT_NEAR(-value(form.under_fossa.front(), Point{0, 0, 0}) - surface_z(form, 0, 0), 1.3, 1e-12);
  // At the sides it is thickest in the occlusal third, and runs out towards the cervical line.
  const std::vector<Quadric> sides{form.dentine[0], form.dentine[1]};
  const double z = 0.3 * 7.5;
  EXPECT_NEAR(reach(form.walls, {0, 0, z}, {1, 0, 0}) - reach(sides, {0, 0, z}, {1, 0, 0}), 1.4, 0.02);
  EXPECT_LT(reach(form.walls, {0, 0, 7.4}, {1, 0, 0}) - reach(form.dentine, {0, 0, 7.4}, {1, 0, 0}), 0.2);
}

TEST(Tooth, DentineLiesInTheCrownAndThePulpInTheDentine) {
  base::Stream random(3, 0, 0);
  const ToothForm form = tooth_form(ToothClass::kMolar, tests::lower_molar());
  std::vector<Quadric> crown = form.walls;
  crown.push_back(form.top);
  int dentine = 0;
  int pulp = 0;
  for (int i = 0; i < 40'000; ++i) {
    const Point p{12 * random.uniform() - 6, 12 * random.uniform() - 6, 12 * random.uniform()};
    const bool in_pulp = std::ranges::any_of(form.pulp, [&](const auto& part) { return inside(part, p); });
    if (in_pulp) {
      ++pulp;
      EXPECT_TRUE(inside(form.dentine, p));
    }
    if (p.z < 7.5 && inside(form.dentine, p)) {
      ++dentine;
      EXPECT_TRUE(inside(crown, p));
    }
  }
  EXPECT_GT(dentine, 1000);
  EXPECT_GT(pulp, 20);
}

TEST(Tooth, SidesLieAlongTheScenesAxes) {
  EXPECT_EQ(outward(ToothSide::kDistal), (Direction{1, 0, 0}));
  EXPECT_EQ(outward(ToothSide::kMesial), -outward(ToothSide::kDistal));
  EXPECT_EQ(outward(ToothSide::kLingual), (Direction{0, 1, 0}));
  EXPECT_EQ(outward(ToothSide::kBuccal), -outward(ToothSide::kLingual));
  EXPECT_EQ(outward(ToothSide::kOcclusal), (Direction{0, 0, -1}));
}

}  // namespace
}  // namespace throughcure::anatomy
