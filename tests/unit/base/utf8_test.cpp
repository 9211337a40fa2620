#include "throughcure/base/utf8.hpp"

#include <gtest/gtest.h>

namespace throughcure::base {
namespace {

// RFC 3629 (standard): section 7's examples, and the edges of the table in section 4.
TEST(Utf8, TextIsTaken) {
  using namespace std::string_view_literals;
  for (const std::string_view text :
       {""sv, "plain"sv, "\0"sv, "A\xE2\x89\xA2\xCE\x91."sv, "\xED\x95\x9C\xEA\xB5\xAD\xEC\x96\xB4"sv,
        "\xEF\xBB\xBF\xF0\xA3\x8E\xB4"sv, "\xC2\x80"sv, "\xDF\xBF"sv, "\xE0\xA0\x80"sv, "\xED\x9F\xBF"sv,
        "\xEE\x80\x80"sv, "\xF0\x90\x80\x80"sv, "\xF4\x8F\xBF\xBF"sv}) {
    EXPECT_TRUE(is_utf8(text)) << text;
  }
}

TEST(Utf8, BytesThatAreNoTextAreNot) {
  for (const char* bytes :
       {"\x80", "\xBF", "\xC0\x80", "\xC1\xBF", "\xC2", "\xC2\x7F", "\xC2\xC0", "\xE0\x9F\xBF", "\xED\xA0\x80",
        "\xED\xBF\xBF", "\xE2\x89", "\xE2\x89\xC0", "\xF0\x8F\xBF\xBF", "\xF4\x90\x80\x80", "\xF5\x80\x80\x80",
        "\xF0\x9F\x98", "\xFE", "\xFF", "fine until \xFF"}) {
    EXPECT_FALSE(is_utf8(bytes));
  }
}

TEST(Utf8, CharactersAreCounted) {
  EXPECT_EQ(code_point_count(""), 0U);
  EXPECT_EQ(code_point_count("Zähne"), 5U);
  EXPECT_EQ(code_point_count("\xF0\x9F\xA6\xB7."), 2U) << "a tooth of four bytes";
}

}  // namespace
}  // namespace throughcure::base
