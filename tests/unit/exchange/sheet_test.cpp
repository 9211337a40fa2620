// Tables as spreadsheets save them. No outside source: what they hold is our own (the taking apart is in
// csv_cells_test).
#include "throughcure/exchange/sheet.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace throughcure::exchange {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

Sheet sheet_of(std::string_view bytes) {
  base::Problems problems;
  auto sheet = read_sheet(bytes, "log.csv", problems);
  EXPECT_TRUE(sheet.has_value()) << (problems.empty() ? "" : base::sentence(problems.front()));
  return sheet ? *std::move(sheet) : Sheet{};
}

std::string refusal_of(std::string_view bytes, const SheetLimits& limits = {}) {
  base::Problems problems;
  EXPECT_FALSE(read_sheet(bytes, "log.csv", problems, limits).has_value());
  return problems.size() == 1 ? base::sentence(problems.front()) : "";
}

TEST(Sheet, FindsOutWhatStandsBetweenTheCells) {
  for (const char delimiter : {';', ',', '\t', '|'}) {
    std::string text = "Light;Date;Shown\nLamp A;4.3.2026;1050\nLamp B;5.3.2026;980\n";
    std::ranges::replace(text, ';', delimiter);
    const Sheet sheet = sheet_of(text);
    EXPECT_EQ(sheet.delimiter(), delimiter);
    EXPECT_THAT(sheet.names(), ElementsAre("Light", "Date", "Shown"));
    ASSERT_EQ(sheet.rows(), 2U);
    EXPECT_EQ(sheet.cell(1, 2), "980");
    EXPECT_EQ(sheet.number(1), 3);
  }
}

TEST(Sheet, IsNotMisledByMarksInsideTheCells) {
  EXPECT_EQ(sheet_of("Light;Shown, mW/cm2;Date\nA;1,050;4,3\nB;0,98;5,3\n").delimiter(), ';');
  EXPECT_EQ(sheet_of("Light,Note\nA,\"clean; dry; whole\"\nB,\"clean; dry\"\n").delimiter(), ',');
  EXPECT_EQ(sheet_of("sep=|\r\nLight|Note\r\nA|a;b,c\r\n").delimiter(), '|');
  const Sheet one = sheet_of("Light\nLamp A\nLamp B\n");
  EXPECT_EQ(one.names().size(), 1U);
  EXPECT_EQ(one.rows(), 2U);
}

TEST(Sheet, RowsKeepTheNumbersThatASpreadsheetShows) {
  const Sheet sheet = sheet_of("Our log\n\nLight,Note,Shown\n\n A ,\"two\nlines\",5\n,,\nB,,\n");
  EXPECT_THAT(sheet.names(), ElementsAre("Light", "Note", "Shown"));
  ASSERT_EQ(sheet.rows(), 2U);
  EXPECT_EQ(sheet.number(0), 5);
  EXPECT_EQ(sheet.cell(0, 0), "A") << "blanks at the ends are no part of a cell";
  EXPECT_EQ(sheet.cell(0, 1), "two\nlines");
  EXPECT_EQ(sheet.number(1), 7);
  EXPECT_EQ(sheet.width(1), 1U);
  EXPECT_EQ(sheet.cell(1, 2), "");
}

TEST(Sheet, ColumnsWithoutANameGetOne) {
  const Sheet sheet = sheet_of("Light,,Shown\nA,1,2,3\n");
  EXPECT_THAT(sheet.names(), ElementsAre("Light", "Column 2", "Shown"));
  EXPECT_EQ(sheet.width(0), 4U) << "a row may have more cells than there are names";
  EXPECT_EQ(sheet.cell(0, 3), "3");
}

TEST(Sheet, WhatIsTooLargeIsRefusedWithItsRow) {
  const std::string text = "a,b\nx,y\nx,y\nx,y\n";
  EXPECT_THAT(refusal_of(text, {.bytes = 10}), HasSubstr("it has 16 bytes, and 10 is the most"));
  EXPECT_THAT(refusal_of(text, {.rows = 2}), HasSubstr("row 4: up to here there are 2 rows, the most. Split"));
  EXPECT_THAT(refusal_of(text, {.columns = 1}), HasSubstr("row 1: it has more than 1 cells"));
  EXPECT_THAT(refusal_of(text, {.cells = 5}), HasSubstr("row 3: up to here there are 5 cells"));
  EXPECT_THAT(refusal_of("a,b\nx," + std::string(4001, 'y')), HasSubstr("row 2: a cell has more than 4000 bytes"));
  EXPECT_THAT(refusal_of("a,b\nx,y\nx,\"y\nx,y\n"), HasSubstr("row 3: a quotation mark opens there and never ends"));
}

TEST(Sheet, WantsNames) {
  EXPECT_THAT(refusal_of(""), HasSubstr("it holds nothing"));
  EXPECT_THAT(refusal_of("\n , ,\n"), HasSubstr("it holds nothing"));
  EXPECT_THAT(refusal_of("4.3.2026,1050,A\n5.3.2026,980,B\n"),
              HasSubstr("row 1: it holds values where the names of the columns are looked for"));
  EXPECT_EQ(sheet_of("Light,2026\nA,5\n").rows(), 1U) << "half of them may look like values";
}

}  // namespace
}  // namespace throughcure::exchange
