// Words of a print lie inside its pages and never over each other, however many and long. No outside source: our own
// contract.
#include "throughcure/draw/print_pages.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "support/laid_words.hpp"
#include "support/picture_marks.hpp"
#include "throughcure/base/problem.hpp"

namespace throughcure::draw {
namespace {

using tests::all;
using tests::expect_tidy;

constexpr double kMargin_mm = 5;  // that no printer reaches

Matter matter_of(std::vector<Block> blocks) {
  return {.head = "A head that says what this is", .foot = {"a foot", "in two lines"}, .blocks = std::move(blocks)};
}

Table table_of(std::size_t rows, const std::string& name) {
  Table table{.columns = {{"light", 3}, {"shown, mW/cm²", 1, Align::kEnd}, {"came to", 2, Align::kMiddle}},
              .rows = {},
              .none = "No check was taken."};
  for (std::size_t i = 0; i < rows; ++i) table.rows.push_back({name, std::to_string(1000 + i), "good"});
  return table;
}

std::size_t count_of(const Picture& page, const std::string& words) {
  const auto texts = all<Text>(page);
  return static_cast<std::size_t>(std::ranges::count(texts, words, &Text::words));
}

void expect_all_tidy(const LaidOut& out) {
  for (const Picture& page : out.pages) expect_tidy(page, kMargin_mm);
}

TEST(PrintPages, EveryPageHasItsHeadNumberAndFoot) {
  const LaidOut out = laid_out(matter_of({table_of(200, "Lamp")}));
  ASSERT_GT(out.pages.size(), 2U);
  expect_all_tidy(out);
  std::size_t rows = 0;
  for (std::size_t i = 0; i < out.pages.size(); ++i) {
    const Picture& page = out.pages[i];
    EXPECT_EQ(count_of(page, "A head that says what this is"), 1U);
    EXPECT_EQ(count_of(page, "page " + std::to_string(i + 1) + " of " + std::to_string(out.pages.size())), 1U);
    EXPECT_EQ(count_of(page, "a foot"), 1U);
    EXPECT_EQ(count_of(page, "came to"), 1U) << "the table's head stands again";
    EXPECT_EQ(count_of(page, "Lamp"), count_of(page, "good")) << "no row is parted";
    rows += count_of(page, "Lamp");
  }
  EXPECT_EQ(rows, 200U);
}

TEST(PrintPages, LongNamesBreakIntoLinesInTheirOwnColumn) {
  for (const std::string& name :
       {std::string(80, 'W'),
        std::string("A name of many words that goes on, and on, and on, to eighty characters and more"),
        std::string("\xD0\x9B\xD0\xB0\xD0\xBC\xD0\xBF\xD0\xB0 \xE2\x80\x94 1\nsecond line")}) {
    const LaidOut out =
        laid_out(matter_of({Words{name, TypeSize::kLarge}, Heading{name}, table_of(60, name), ToSign{{name, "Seen"}}}));
    expect_all_tidy(out);
  }
}

TEST(PrintPages, AnEmptyTableSaysSoAndStillOffersRowsToThePen) {
  const LaidOut none = laid_out(matter_of({table_of(0, "")}));
  ASSERT_EQ(none.pages.size(), 1U);
  EXPECT_EQ(count_of(none.pages[0], "No check was taken."), 1U);
  EXPECT_EQ(count_of(none.pages[0], "came to"), 0U);
  Table table = table_of(0, "");
  table.to_fill_in = 40;
  const LaidOut out = laid_out(matter_of({table}));
  expect_all_tidy(out);
  ASSERT_EQ(out.pages.size(), 2U);
  EXPECT_EQ(count_of(out.pages[0], "came to"), 1U);
  EXPECT_EQ(count_of(out.pages[1], "came to"), 1U);
}

TEST(PrintPages, ACellThatFillsMoreThanAPageEndsInAnEllipsis) {
  const std::string endless(6000, 'm');
  const LaidOut out = laid_out(matter_of({Words{"Before"}, table_of(2, endless)}));
  expect_all_tidy(out);
  const auto texts = all<Text>(out.pages.back());
  EXPECT_TRUE(std::ranges::any_of(texts, [](const Text& text) { return text.words.ends_with("…"); }));
}

TEST(PrintPages, AChapterBeginsOnItsOwnPageUnderItsOwnHead) {
  const LaidOut out = laid_out(matter_of({NewPage{"Head of Lamp 1", "Lamp 1"}, table_of(80, "Lamp 1"),
                                          NewPage{"Head of Lamp 2", "Lamp 2"}, Words{"It is in use."}}));
  ASSERT_EQ(out.pages.size(), 3U) << "no empty page before the first chapter";
  EXPECT_EQ(count_of(out.pages[0], "Head of Lamp 1"), 1U);
  EXPECT_EQ(count_of(out.pages[1], "Head of Lamp 1"), 1U);
  EXPECT_EQ(count_of(out.pages[2], "Head of Lamp 2"), 1U);
  ASSERT_EQ(out.chapters.size(), 2U);
  EXPECT_EQ(out.chapters[0].page, 0U);
  EXPECT_EQ(out.chapters[1].page, 2U);
  EXPECT_EQ(out.chapters[1].name, "Lamp 2");
}

TEST(PrintPages, AHeadingIsNeverLeftAloneAtTheFoot) {
  for (int lines = 30; lines < 60; ++lines) {
    std::vector<Block> blocks;
    blocks.resize(static_cast<std::size_t>(lines), Words{"line", TypeSize::kSmall});
    blocks.emplace_back(Heading{"Checks"});
    blocks.emplace_back(table_of(3, "Lamp"));
    for (const Picture& page : laid_out(matter_of(std::move(blocks))).pages) {
      EXPECT_TRUE(count_of(page, "Checks") == 0 || count_of(page, "Lamp") > 0) << lines;
    }
  }
}

TEST(PrintPages, ARowMustHaveItsCells) {
  Table table = table_of(1, "Lamp");
  table.rows[0].pop_back();
  EXPECT_THROW(laid_out(matter_of({table})), base::Failure);
}

TEST(PrintPages, AMovedMarkIsTheSameElsewhere) {
  const Mark moved_text = moved(Text{.at = {1, 2}, .words = "x", .colour = kInk}, 10, 20);
  EXPECT_EQ(std::get<Text>(moved_text).at, (Place{11, 22}));
  const Mark moved_area = moved(Shading{{{{0, 0}}}, {Polygon{{{{1, 1}}}, kInk}}}, 1, 2);
  EXPECT_EQ(std::get<Shading>(moved_area).clip[0][0], (Place{1, 2}));
  EXPECT_EQ(std::get<Shading>(moved_area).areas[0].rings[0][0], (Place{2, 3}));
  const Mark raster = moved(Raster{.top_left = {1, 1}, .colour = {}, .clip = {{0, 0}}}, 1, 1);
  EXPECT_EQ(std::get<Raster>(raster).top_left, (Place{2, 2}));
  EXPECT_EQ(std::get<Raster>(raster).clip[0], (Place{1, 1}));
}

RC_GTEST_PROP(PrintPages, AnyTableIsLaidOutTidily, ()) {
  const auto word = rc::gen::container<std::string>(rc::gen::inRange(' ', '\x7f'));
  Table table{.columns = {{"a", 1}, {"b", 2, Align::kEnd}, {"c", 3}}, .rows = {}, .none = "none"};
  table.rows =
      *rc::gen::container<std::vector<std::vector<std::string>>>(rc::gen::container<std::vector<std::string>>(3, word));
  table.to_fill_in = *rc::gen::inRange<std::size_t>(0, 40);
  expect_all_tidy(laid_out(matter_of({Words{*word}, table, ToSign{{*word}}})));
  RC_ASSERT(!testing::Test::HasFailure());
}

}  // namespace
}  // namespace throughcure::draw
