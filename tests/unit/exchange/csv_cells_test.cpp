// Text taken apart into cells. Outside source: the examples of RFC 4180, section 2, by their numbers there.
#include "throughcure/exchange/csv_cells.hpp"

#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace throughcure::exchange {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

using Table = std::vector<std::vector<std::string>>;

struct Parsed {
  Table rows;
  CsvEnd end = CsvEnd::kAll;
};

Parsed parsed(std::string_view text, char delimiter = ',', std::size_t most_cell_bytes = 1000) {
  Parsed out;
  std::vector<std::string> row;
  out.end = each_csv_cell(
      text, delimiter, most_cell_bytes,
      [&](std::string_view cell) {
        row.emplace_back(cell);
        return true;
      },
      [&] {
        out.rows.push_back(std::move(row));
        row.clear();
        return true;
      });
  return out;
}

Table rows_of(std::string_view text, char delimiter = ',') {
  const Parsed all = parsed(text, delimiter);
  EXPECT_EQ(all.end, CsvEnd::kAll) << text;
  return all.rows;
}

const auto kPlain = ElementsAre(ElementsAre("aaa", "bbb", "ccc"), ElementsAre("zzz", "yyy", "xxx"));

TEST(CsvCells, AreThoseOfTheStandardsExamples) {
  EXPECT_THAT(rows_of("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"), kPlain) << "2.1";
  EXPECT_THAT(rows_of("aaa,bbb,ccc\r\nzzz,yyy,xxx"), kPlain) << "2.2";
  EXPECT_THAT(rows_of("field_name,field_name,field_name\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"),
              ElementsAre(ElementsAre("field_name", "field_name", "field_name"), ElementsAre("aaa", "bbb", "ccc"),
                          ElementsAre("zzz", "yyy", "xxx")))
      << "2.3";
  EXPECT_THAT(rows_of("aaa,bbb,ccc"), ElementsAre(ElementsAre("aaa", "bbb", "ccc"))) << "2.4";
  EXPECT_THAT(rows_of("\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx"), kPlain) << "2.5";
  EXPECT_THAT(rows_of("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx"),
              ElementsAre(ElementsAre("aaa", "b\r\nbb", "ccc"), ElementsAre("zzz", "yyy", "xxx")))
      << "2.6";
  EXPECT_THAT(rows_of("\"aaa\",\"b\"\"bb\",\"ccc\""), ElementsAre(ElementsAre("aaa", "b\"bb", "ccc"))) << "2.7";
}

TEST(CsvCells, EveryLineEndEndsOneRow) {
  EXPECT_THAT(rows_of("a\nb\rc\r\nd"),
              ElementsAre(ElementsAre("a"), ElementsAre("b"), ElementsAre("c"), ElementsAre("d")));
  EXPECT_THAT(rows_of("a\n\nb\r\rc\r\n\r\nd"), ElementsAre(ElementsAre("a"), IsEmpty(), ElementsAre("b"), IsEmpty(),
                                                           ElementsAre("c"), IsEmpty(), ElementsAre("d")));
  EXPECT_THAT(rows_of(""), IsEmpty());
  EXPECT_THAT(rows_of(",\n"), ElementsAre(ElementsAre("", "")));
  EXPECT_THAT(rows_of("a\t\tb", '\t'), ElementsAre(ElementsAre("a", "", "b")));
}

TEST(CsvCells, AQuotationMarkThatNeverEndsAndALongCellAreTold) {
  EXPECT_EQ(parsed("a,\"b\nc,d\n").end, CsvEnd::kOpenQuote);
  EXPECT_EQ(parsed("a," + std::string(1001, 'x')).end, CsvEnd::kLongCell);
  EXPECT_EQ(parsed("a,\"" + std::string(300'000, 'x')).end, CsvEnd::kLongCell);
  EXPECT_EQ(parsed("a," + std::string(1000, 'x')).end, CsvEnd::kAll);
}

TEST(CsvCells, StopWhenAsked) {
  int cells = 0;
  const auto end =
      each_csv_cell("a,b\nc,d\n", ',', 10, [&](std::string_view) { return ++cells < 3; }, [] { return true; });
  EXPECT_EQ(end, CsvEnd::kStopped);
  EXPECT_EQ(cells, 3);
}

RC_GTEST_PROP(CsvCells, WhatIsWrittenInQuotesIsReadAgain, ()) {
  const char delimiter = *rc::gen::element(',', ';', '\t', '|');
  const auto cell =
      rc::gen::container<std::string>(rc::gen::element('a', '"', ',', ';', '\n', '\r', ' ', '\t', '|', '\xC3'));
  const auto table = *rc::gen::nonEmpty(
      rc::gen::container<Table>(rc::gen::nonEmpty(rc::gen::container<std::vector<std::string>>(cell))));
  std::string text;
  for (const auto& row : table) {
    for (std::size_t i = 0; i < row.size(); ++i) {
      text += i == 0 ? "\"" : std::string{delimiter} + "\"";
      for (const char c : row[i]) text += c == '"' ? "\"\"" : std::string{c};
      text += '"';
    }
    text += *rc::gen::element<std::string>("\n", "\r\n", "\r");
  }
  RC_ASSERT(rows_of(text, delimiter) == table);
}

}  // namespace
}  // namespace throughcure::exchange
