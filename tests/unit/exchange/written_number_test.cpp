// Numbers as people write them. No outside source: the ways of writing are common practice; groups and marks as in ISO
// 80000-1, 7.3 (from memory).
#include "throughcure/exchange/written_number.hpp"

#include <cmath>
#include <cstdio>
#include <string>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace throughcure::exchange {
namespace {

void reads(std::string_view text, DecimalMark mark, double value, std::string_view unit = {}) {
  const auto number = read_written_number(text, mark);
  ASSERT_TRUE(number.has_value()) << text;
  EXPECT_DOUBLE_EQ(number->value, value) << text;
  EXPECT_EQ(number->unit, unit) << text;
}

TEST(WrittenNumber, IsReadWithPointOrComma) {
  reads("1,050", DecimalMark::kPoint, 1050);
  reads("1,050", DecimalMark::kComma, 1.05);
  reads("1.050", DecimalMark::kPoint, 1.05);
  reads("1.050", DecimalMark::kComma, 1050);
  reads("1.234,5 mW/cm\u00b2", DecimalMark::kComma, 1234.5, "mW/cm\u00b2");
  reads("1 050", DecimalMark::kPoint, 1050);
  reads("1\u00a0050", DecimalMark::kComma, 1050);
  reads("1\u202f234\u202f567,25", DecimalMark::kComma, 1234567.25);
  reads("1'050.5", DecimalMark::kPoint, 1050.5);
  reads("1.2 W/cm2", DecimalMark::kPoint, 1.2, "W/cm2");
  reads("12mm", DecimalMark::kPoint, 12, "mm");
  reads(" +3e2 ", DecimalMark::kPoint, 300);
  reads("-.5", DecimalMark::kPoint, -0.5);
  reads("\u22124", DecimalMark::kComma, -4);
  reads("93 %", DecimalMark::kComma, 93, "%");
  reads("0,950", DecimalMark::kComma, 0.95);
}

TEST(WrittenNumber, WhatIsNoneIsNotGuessed) {
  for (const char* text : {"", "-", "mW", "1,05 or so 2", "1.2.3", "1,2,3", "4/3/26", "4.3.26", "8:15", "1,0500",
                           "12,34,567", "1 05", "< 300", "~300", "1e999", "0,950,000", "5-6", "1,234,5"}) {
    for (const DecimalMark mark : {DecimalMark::kPoint}) {
      const auto number = read_written_number(text, mark);
      EXPECT_FALSE(number && number->unit.empty()) << text << " read as " << (number ? number->value : 0);
    }
  }
  EXPECT_FALSE(read_written_number("1.05", DecimalMark::kComma)) << "a group has three digits";
  EXPECT_FALSE(read_written_number("0,950", DecimalMark::kPoint)) << "a group does not follow a 0";
}

std::optional<DecimalMark> mark_of(const std::vector<std::string>& cells) {
  DecimalMarkFinder finder;
  for (const std::string& cell : cells) finder.add(cell);
  return finder.mark();
}

TEST(WrittenNumber, TheMarkIsFoundOutFromAllCells) {
  EXPECT_EQ(mark_of({"1,050", "0,98"}), DecimalMark::kComma);
  EXPECT_EQ(mark_of({"1,050", "980.5"}), DecimalMark::kPoint);
  EXPECT_EQ(mark_of({"1050", "980"}), DecimalMark::kPoint) << "either: they mean the same";
  EXPECT_EQ(mark_of({"none", ""}), DecimalMark::kPoint);
  EXPECT_EQ(mark_of({"1,050", "1,100"}), std::nullopt) << "a thousand, or one";
  EXPECT_EQ(mark_of({"0,98", "980.5"}), std::nullopt);
}

RC_GTEST_PROP(WrittenNumber, WhatIsWrittenIsReadAgain, ()) {
  const auto mark = *rc::gen::element(DecimalMark::kPoint, DecimalMark::kComma);
  const auto cents = *rc::gen::inRange<std::int64_t>(-2'000'000'000, 2'000'000'000);
  const auto separator =
      *rc::gen::element<std::string>("", " ", "'", "\u00a0", mark == DecimalMark::kPoint ? "," : ".");
  const auto unit = *rc::gen::element<std::string>("", " mW/cm2", "mm", " %");
  std::string whole = std::to_string(std::abs(cents) / 100);
  for (auto at = static_cast<std::ptrdiff_t>(whole.size()) - 3; at > 0; at -= 3) {
    whole.insert(static_cast<std::size_t>(at), separator);
  }
  const std::string last = std::to_string(std::abs(cents) % 100 + 100).substr(1);
  const std::string text = (cents < 0 ? "-" : "") + whole + std::string(word(mark)) + last + unit;
  const auto number = read_written_number(text, mark);
  RC_ASSERT(number.has_value());
  RC_ASSERT(number->value == static_cast<double>(cents) / 100);
  DecimalMarkFinder finder;
  finder.add(text);
  RC_ASSERT(finder.mark() == mark);  // two digits behind it: nothing else is possible
}

}  // namespace
}  // namespace throughcure::exchange
