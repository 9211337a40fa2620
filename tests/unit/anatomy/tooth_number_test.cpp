// Tooth numbers in both notations.
#include "throughcure/anatomy/tooth_number.hpp"

#include <set>

#include <gtest/gtest.h>

namespace throughcure::anatomy {
namespace {

// Source: ISO 3950 (standard) and the crosswalk of the Universal designation in the HL7 tables (published): 18 is 1,
// 11 is 8, 21 is 9, 28 is 16, 38 is 17, 48 is 32; 16 is 3 and 26 is 14.
TEST(ToothNumber, TurnsOneNotationIntoTheOther) {
  const int pairs[][2] = {{18, 1},  {16, 3},  {11, 8},  {21, 9},  {26, 14},
                          {28, 16}, {38, 17}, {31, 24}, {41, 25}, {48, 32}};
  for (const auto& [iso, universal] : pairs) {
    EXPECT_EQ(ToothNumber::from_iso(iso)->universal(), universal);
    EXPECT_EQ(ToothNumber::from_universal(universal)->iso(), iso);
  }
}

TEST(ToothNumber, ThereAreThirtyTwoAndNoOthers) {
  std::set<int> isos;
  for (int number = -100; number <= 100; ++number) {
    if (const auto tooth = ToothNumber::from_iso(number)) {
      EXPECT_EQ(tooth->iso(), number);
    }
    if (const auto tooth = ToothNumber::from_universal(number)) {
      EXPECT_EQ(tooth->universal(), number);
      isos.insert(tooth->iso());
    }
  }
  EXPECT_EQ(isos.size(), 32U);
  EXPECT_FALSE(ToothNumber::from_iso(19));
  EXPECT_FALSE(ToothNumber::from_iso(51));
  EXPECT_FALSE(ToothNumber::from_iso(-46));
  EXPECT_FALSE(ToothNumber::from_universal(0));
}

TEST(ToothNumber, IsWrittenInTheNotationAskedFor) {
  EXPECT_EQ(ToothNumber::from_iso(46)->text(ToothNotation::kIso3950), "46");
  EXPECT_EQ(ToothNumber::from_iso(26)->text(ToothNotation::kUniversal), "14 (Universal)");
}

TEST(ToothNumber, KnowsClassArchSideAndName) {
  const ToothNumber molar = *ToothNumber::from_iso(46);
  EXPECT_EQ(molar.tooth_class(), ToothClass::kMolar);
  EXPECT_EQ(molar.arch(), Arch::kLower);
  EXPECT_EQ(molar.side(), Side::kRight);
  EXPECT_EQ(molar.name(), "lower right first molar");
  EXPECT_EQ(ToothNumber::from_iso(22)->name(), "upper left lateral incisor");
  EXPECT_EQ(ToothNumber::from_iso(33)->tooth_class(), ToothClass::kCanine);
  EXPECT_EQ(ToothNumber::from_iso(15)->tooth_class(), ToothClass::kPremolar);
}

}  // namespace
}  // namespace throughcure::anatomy
