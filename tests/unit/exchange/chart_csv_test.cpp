// A chart's readings as spreadsheets write them, and everything that can be wrong with them.
#include "throughcure/exchange/chart_csv.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace throughcure::exchange {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

std::vector<std::string> sentences(const base::Problems& problems) {
  std::vector<std::string> all;
  for (const auto& problem : problems) all.push_back(base::sentence(problem));
  return all;
}

std::vector<std::string> wrong(std::string_view text) {
  base::Problems problems;
  EXPECT_FALSE(parse_chart_series(text, "r.csv", problems).has_value()) << text;
  return sentences(problems);
}

TEST(ChartCsv, IsReadHoweverItIsWritten) {
  for (const std::string text : {
           "value\n49.6\n47.5\n",                                                         // nothing else
           "value\n49,6\n47,5",                                                           // one column, decimal commas
           "\xEF\xBB\xBFtime;Value;remark\r\n2026-01-05;49,6;x\r\n2026-01-06;47,5;\r\n",  // mark, Windows, capitals
           "# a note\n\ntime\tvalue\n1\t49,6\n1\t47,5 # twice a day\n",                   // tabs, notes, equal times
           "remark,value\n\"dirty, cleaned\",49.6\n,\"47.5\"\n",                          // quotes
           "value,time\n49.6,2026-01-05T23:30-02:00\n47.5,2026-01-06T02:00:00.5Z\n",      // zones
       }) {
    base::Problems problems;
    const auto series = parse_chart_series(text, "r.csv", problems);
    ASSERT_THAT(sentences(problems), IsEmpty()) << text;
    EXPECT_THAT(series->value, ElementsAre(49.6, 47.5)) << text;
  }
}

TEST(ChartCsv, TimesStayAsTheyStand) {
  base::Problems problems;
  const auto series = parse_chart_series("time,value\n75.884,1\n75.922,2\n", "r.csv", problems);
  ASSERT_TRUE(series);
  EXPECT_THAT(series->time, ElementsAre("75.884", "75.922"));
  EXPECT_THAT(parse_chart_series("value\n1\n", "r.csv", problems)->time, IsEmpty());
}

TEST(ChartCsv, EveryFaultIsNamedWithItsLineAndField) {
  EXPECT_THAT(
      wrong("time,value\n2026-01-05,1\n2026-01-04,2\n2026-02-30,3\n7,4\n2026-01-06,\n2026-01-07,nan\n2026-01-08\n"
            "2026-01-09T24:00,1e13\n"),
      ElementsAre(HasSubstr("r.csv:3: time: \"2026-01-04\" lies before the time of the row above"),
                  HasSubstr("r.csv:4: time: \"2026-02-30\" is no time"),
                  HasSubstr("r.csv:5: time: \"7\" is written otherwise"),
                  HasSubstr("r.csv:6: value: \"\" is no number"), HasSubstr("r.csv:6: time"),
                  HasSubstr("r.csv:7: value: nan"), HasSubstr("r.csv:8: \"2026-01-08\" holds 1 columns, the header 2"),
                  HasSubstr("r.csv:9: value: 1e+13"), HasSubstr("r.csv:9: time")));
}

TEST(ChartCsv, AFileWithoutReadingsIsRefused) {
  EXPECT_THAT(wrong(""), ElementsAre(HasSubstr("the file holds nothing")));
  EXPECT_THAT(wrong("value\n"), ElementsAre(HasSubstr("there is no reading")));
  EXPECT_THAT(wrong("49.6\n47.6\n"),
              ElementsAre(HasSubstr("r.csv:1: value: the header \"49.6\" names no such column")));
  EXPECT_THAT(wrong("value,value\n1,2\n"), ElementsAre(HasSubstr("the header names it twice")));
  std::string many = "value\n";
  for (std::size_t i = 0; i <= kMostChartRows; ++i) many += "1\n";
  EXPECT_THAT(wrong(many), ElementsAre(HasSubstr("20001 rows are more than the most, 20000")));
}

}  // namespace
}  // namespace throughcure::exchange
