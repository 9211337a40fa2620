// How words break into lines. No outside source: our own contract, and the same words painted.
#include "throughcure/draw/type_setter.hpp"

#include <string>

#include <gtest/gtest.h>

namespace throughcure::draw {
namespace {

TEST(TypeSetter, WidthsAddUpAndGoWithTheSize) {
  const TypeSetter type;
  const double word = type.width_mm("0000000000", 3);
  EXPECT_NEAR(word, 10 * type.width_mm("0", 3), 0.02);
  EXPECT_NEAR(type.width_mm("0000000000", 6), 2 * word, 0.05);
  // DejaVu Sans: an advance of 1303 units of 2048 for each digit (its hmtx table).
  EXPECT_NEAR(word, 10 * 3 * 1303.0 / 2048, 0.02);
  EXPECT_EQ(type.width_mm("", 3), 0);
}

TEST(TypeSetter, LinesBreakBetweenWordsAndInsideOneOnlyWhereItAloneIsTooWide) {
  const TypeSetter type;
  EXPECT_EQ(type.lines("clean the tip", 3, 100), (std::vector<std::string>{"clean the tip"}));
  EXPECT_EQ(type.lines("clean the tip", 3, type.width_mm("clean the", 3) + 0.5),
            (std::vector<std::string>{"clean the", "tip"}));
  EXPECT_EQ(type.lines("", 3, 10), (std::vector<std::string>{""}));
  EXPECT_EQ(type.lines("one\n\ntwo\n", 3, 100).size(), 4U) << "breaks among the words are kept";
  const std::string one_word(50, 'm');
  const auto lines = type.lines(one_word, 3, 20);
  EXPECT_GT(lines.size(), 5U);
  std::string joined;
  for (const std::string& line : lines) {
    EXPECT_LE(type.width_mm(line, 3), 20.01);
    joined += line;
  }
  EXPECT_EQ(joined, one_word);
}

TEST(TypeSetter, AnEllipsisStandsForWhatIsLeftOut) {
  const TypeSetter type;
  const auto lines = type.lines("Äußerst lange Wörter, die nicht alle auf zwei Zeilen passen", 3, 30, 2);
  ASSERT_EQ(lines.size(), 2U);
  EXPECT_TRUE(lines[1].ends_with("…")) << lines[1];
  EXPECT_LE(type.width_mm(lines[1], 3), 30.01);
  EXPECT_EQ(type.lines("short", 3, 30, 2), (std::vector<std::string>{"short"}));
}

}  // namespace
}  // namespace throughcure::draw
