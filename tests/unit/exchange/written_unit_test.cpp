// Units as people write them. Factors follow from the SI's prefixes (SI Brochure, 9th edition, table 7) and 1 in = 25.4
// mm.
#include "throughcure/exchange/written_unit.hpp"

#include <gtest/gtest.h>

#include "throughcure/exchange/written_yes_no.hpp"

namespace throughcure::exchange {
namespace {

void is(std::string_view text, Quantity quantity, double factor) {
  const auto unit = unit_called(text);
  ASSERT_TRUE(unit.has_value()) << text;
  EXPECT_EQ(unit->quantity, quantity) << text;
  EXPECT_DOUBLE_EQ(unit->factor, factor) << text;
}

TEST(WrittenUnit, IsKnownHoweverItIsSpelled) {
  for (const char* text : {"mW/cm\u00b2", "mW/cm2", "MW/CM2", "mw / cm^2", "mW\u00b7cm\u207b\u00b2", "mW per cm2",
                           "mW/sq.cm", "mW*cm-2"}) {
    is(text, Quantity::kPowerPerArea, 1);
  }
  is("W/cm\u00b2", Quantity::kPowerPerArea, 1000);
  is("W/m2", Quantity::kPowerPerArea, 0.1);
  is("mW/mm2", Quantity::kPowerPerArea, 100);
  is("mW", Quantity::kPower, 1);
  is("cm", Quantity::kLength, 10);
  is("\u00b5m", Quantity::kLength, 0.001);
  is("\u03bcm", Quantity::kLength, 0.001);
  is("sec.", Quantity::kTime, 1);
  is("%", Quantity::kShare, 0.01);
  for (const char* text : {"", "lux", "mA", "mW/cm3", "Mar 2026", "of some long text that is no unit"}) {
    EXPECT_FALSE(unit_called(text).has_value()) << text;
  }
}

TEST(WrittenUnit, IsFoundInTheNameOfAColumn) {
  EXPECT_EQ(unit_in_name("Reading (mW/cm\u00b2)"), "mW/cm\u00b2");
  EXPECT_EQ(unit_in_name("Output [W/cm2]"), "W/cm2");
  EXPECT_EQ(unit_in_name("Tip diameter, mm"), "mm");
  EXPECT_EQ(unit_in_name("shown_mw_cm2"), "mw_cm2");
  EXPECT_EQ(unit_in_name("Output mW / cm2"), "mW / cm2");
  EXPECT_EQ(unit_in_name("mW/cm2"), "mW/cm2");
  EXPECT_EQ(unit_in_name("Reading (after cleaning)"), "");
  EXPECT_EQ(unit_in_name("Light"), "");
  EXPECT_EQ(unit_in_name("bought in"), "");
}

TEST(WrittenYesNo, AreWordsOfATable) {
  for (const char* text : {"yes", "Y", "TRUE", "1", "x", " on ", "with"}) EXPECT_EQ(read_yes_no(text), true) << text;
  for (const char* text : {"no", "N", "False", "0", "off", "without", "none"}) {
    EXPECT_EQ(read_yes_no(text), false) << text;
  }
  for (const char* text : {"", "maybe", "2", "sleeve"}) EXPECT_EQ(read_yes_no(text), std::nullopt) << text;
}

}  // namespace
}  // namespace throughcure::exchange
