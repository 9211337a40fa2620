// Bytes as text. Outside sources: RFC 2781 and RFC 3629 (the encodings' own examples), Python's codec cp1252.
#include "throughcure/exchange/foreign_text.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace throughcure::exchange {
namespace {

using namespace std::string_view_literals;
using ::testing::HasSubstr;

ForeignText text_of(std::string_view bytes) {
  base::Problems problems;
  const auto text = foreign_text(bytes, "log.csv", problems);
  EXPECT_TRUE(problems.empty()) << (problems.empty() ? "" : base::sentence(problems.front()));
  return text.value_or(ForeignText{});
}

std::string refusal_of(std::string_view bytes) {
  base::Problems problems;
  EXPECT_FALSE(foreign_text(bytes, "log.csv", problems).has_value());
  return problems.size() == 1 ? base::sentence(problems.front()) : "";
}

TEST(ForeignText, IsToldByItsMarkOrByItsBytes) {
  const auto is = [](std::string_view bytes, std::string_view encoding, std::string_view text) {
    const ForeignText read = text_of(bytes);
    EXPECT_EQ(read.encoding, encoding);
    EXPECT_EQ(read.text, text);
  };
  is("mW/cm\xC2\xB2", "UTF-8", "mW/cm\xC2\xB2");
  is("\xEF\xBB\xBFmW/cm\xC2\xB2", "UTF-8", "mW/cm\xC2\xB2");
  is("\xFF\xFEm\0\xB2\0"sv, "UTF-16", "m\xC2\xB2");
  is("\xFE\xFF\0m\0\xB2"sv, "UTF-16", "m\xC2\xB2");
  // RFC 2781, 3.2 and 2.1: U+12345 is D808 DF45, F0 92 8D 85 in UTF-8.
  is("\xFE\xFF\xD8\x08\xDF\x45"sv, "UTF-16", "\xF0\x92\x8D\x85");
  is("mW/cm\xB2 \x80\x9F", "Windows-1252", "mW/cm\xC2\xB2 \xE2\x82\xAC\xC5\xB8");
  is("", "UTF-8", "");
}

TEST(ForeignText, EveryByteOfWindows1252StandsForWhatPythonSays) {
  // bytes(b for b in range(0x80, 0xA0) if b not in (0x81, 0x8D, 0x8F, 0x90, 0x9D)).decode("cp1252"), Python 3.11
  const auto bytes =
      "\x80\x82\x83\x84\x85\x86\x87\x88\x89\x8A\x8B\x8C\x8E\x91\x92\x93\x94\x95\x96\x97\x98\x99\x9A\x9B\x9C\x9E\x9F"sv;
  EXPECT_EQ(text_of(bytes).text,
            "\u20ac\u201a\u0192\u201e\u2026\u2020\u2021\u02c6\u2030\u0160\u2039\u0152\u017d"
            "\u2018\u2019\u201c\u201d\u2022\u2013\u2014\u02dc\u2122\u0161\u203a\u0153\u017e\u0178");
  EXPECT_THAT(refusal_of("\x81"), HasSubstr("no text in Windows-1252"));
}

TEST(ForeignText, WhatIsNoTextIsRefusedWithWhatToDo) {
  EXPECT_THAT(refusal_of("PK\x03\x04 a workbook"), HasSubstr("a spreadsheet's own file"));
  EXPECT_THAT(refusal_of("PK\x03\x04 a workbook"), HasSubstr("save it as CSV"));
  EXPECT_THAT(refusal_of("a\0b\0"sv), HasSubstr("bytes of value 0"));
  EXPECT_THAT(refusal_of("\xFF\xFEm"), HasSubstr("no text in UTF-16"));
  EXPECT_THAT(refusal_of("\xFE\xFF\xD8\x08"sv), HasSubstr("no text in UTF-16"));
  EXPECT_THAT(refusal_of("\xEF\xBB\xBF\xB2"), HasSubstr("no text in UTF-8"));
}

}  // namespace
}  // namespace throughcure::exchange
