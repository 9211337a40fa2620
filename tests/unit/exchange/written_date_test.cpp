// Dates as people write them. Outside sources: GS1 General Specifications, AI (17), an expiry without a day is the last
// of its month, leap years too (from memory); RFC 3339, section 5.8 (its examples); ECMA-376 part 1, 18.17.4.1, the
// days of spreadsheets (from memory; 25569 is 1970-01-01); the rest is common practice.
#include "throughcure/exchange/written_date.hpp"

#include <array>
#include <chrono>
#include <cstdio>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace throughcure::exchange {
namespace {

constexpr DateOrder kDmy = DateOrder::kDayMonthYear;
constexpr DateOrder kMdy = DateOrder::kMonthDayYear;
constexpr DateOrder kYmd = DateOrder::kYearMonthDay;
constexpr std::int64_t kMinute = 60'000'000;
constexpr std::int64_t kHour = 60 * kMinute;

std::int64_t day(int y, unsigned m, unsigned d) {
  return std::chrono::sys_days{std::chrono::year{y} / std::chrono::month{m} / std::chrono::day{d}}
      .time_since_epoch()
      .count();
}

const std::int64_t kFourthOfMarch = day(2026, 3, 4);

WrittenDate read(std::string_view text, DateOrder order) {
  const auto date = read_written_date(text, order);
  EXPECT_TRUE(date.has_value()) << text;
  return date.value_or(WrittenDate{});
}

TEST(WrittenDate, IsReadInItsOrder) {
  for (const char* text : {"4.3.26", "04/03/2026", "4-3-26", "4 3 2026", "04.03.2026", "4. 3. 2026"}) {
    EXPECT_EQ(read(text, kDmy).day, kFourthOfMarch) << text;
    EXPECT_EQ(read(text, kMdy).day, day(2026, 4, 3)) << text;
  }
  EXPECT_EQ(read("26-03-04", kYmd).day, kFourthOfMarch);
  EXPECT_EQ(read("1.1.90", kDmy).day, day(1990, 1, 1));
  EXPECT_EQ(read("1.1.89", kDmy).day, day(2089, 1, 1));
}

TEST(WrittenDate, SomeNeedNoOrder) {
  for (const DateOrder order : kDateOrders) {
    for (const char* text :
         {"2026-03-04", "2026/3/4", "20260304", "4 Mar 2026", "4-Mar-26", "4th March 2026", "March 4, 2026",
          "Mar 4 2026", "Wed 4 March 2026", "Wednesday, March 4, 2026", "4. March 2026", "46085"}) {
      EXPECT_EQ(read(text, order), WrittenDate{.day = kFourthOfMarch}) << text;
    }
  }
}

TEST(WrittenDate, MayHaveATimeOfDay) {
  const std::int64_t quarter_past_eight = (8 * 60 + 15) * kMinute;
  for (const char* text :
       {"2026-03-04T08:15", "2026-03-04 8:15", "2026-03-04 08:15:00", "3/4/2026 8:15 am", "3/4/26, 8:15 AM",
        "3/4/2026 08:15 a.m.", "3/4/2026 8.15", "Mar 4, 2026 8:15", "46085.34375", "46085,34375"}) {
    EXPECT_EQ(read(text, kMdy), (WrittenDate{.day = kFourthOfMarch, .us_of_day = quarter_past_eight})) << text;
  }
  EXPECT_EQ(read("3/4/2026 8 pm", kMdy).us_of_day, 20 * kHour);
  EXPECT_EQ(read("3/4/2026 12:30 am", kMdy).us_of_day, 30 * kMinute);
  EXPECT_EQ(read("3/4/2026 12:30 pm", kMdy).us_of_day, (12 * 60 + 30) * kMinute);
  // RFC 3339, 5.8; it has no dates of ours but these.
  EXPECT_EQ(read("1996-12-19T16:39:57-08:00", kYmd),
            (WrittenDate{
                .day = day(1996, 12, 19), .us_of_day = (16 * 60 + 39) * kMinute + 57'000'000, .offset_minutes = -480}));
  EXPECT_EQ(read("2026-03-04T08:15:30.25Z", kYmd),
            (WrittenDate{.day = kFourthOfMarch, .us_of_day = quarter_past_eight + 30'250'000, .offset_minutes = 0}));
}

TEST(WrittenDate, WhatIsNoneIsNotGuessed) {
  for (const DateOrder order : kDateOrders) {
    for (const char* text :
         {"",         "soon",       "4.3.",        "4.3",       "31.2.2026",    "4/3-2026",    "4.3.126",
          "4.3.1926", "2026-13-04", "20261304",    "1050",      "4.3.26 25:00", "4.3.26 8:60", "4.3.26 13:00 pm",
          "4.3.26x",  "4.3.26 8",   "Marx 4 2026", "4 Ma 2026", "99999999999",  "46085.5x",    "2026-03-04T"}) {
      EXPECT_FALSE(read_written_date(text, order).has_value()) << text;
    }
  }
  EXPECT_FALSE(read_written_date("13/14/2026", kDmy).has_value());
}

TEST(WrittenDate, AMonthAloneStandsForItsLastDay) {
  for (const char* text : {"2027-03", "2027/3", "03/2027", "3.2027", "03 2027", "03/27", "3.27", "27-03", "Mar 2027",
                           "March 2027", "Mar-27", "MAR 27", "2027 Mar", "2027-Mar", " 03 / 2027 "}) {
    EXPECT_EQ(last_day_of_written_month(text), day(2027, 3, 31)) << text;
    for (const DateOrder order : kDateOrders) EXPECT_FALSE(read_written_date(text, order).has_value()) << text;
  }
  EXPECT_EQ(last_day_of_written_month("02/2028"), day(2028, 2, 29)) << "a leap year";
  EXPECT_EQ(last_day_of_written_month("2100-02"), day(2100, 2, 28)) << "none";
  EXPECT_EQ(last_day_of_written_month("04.2027"), day(2027, 4, 30));
  EXPECT_EQ(last_day_of_written_month("03/04"), day(2004, 3, 31)) << "the month stands first";
  for (const char* text : {"", "soon", "2027", "13/2027", "2027-13", "0/2027", "13/14", "27 Mar", "4 March 2027",
                           "2027-03-04", "03/2027x", "2027-", "003/2027", "2101-01", "1989-12", "March", "202703"}) {
    EXPECT_EQ(last_day_of_written_month(text), std::nullopt) << text;
  }
}

TEST(WrittenDate, TimesStandAloneToo) {
  EXPECT_EQ(read_time_of_day("8:15"), (8 * 60 + 15) * kMinute);
  EXPECT_EQ(read_time_of_day("8.15"), (8 * 60 + 15) * kMinute);
  EXPECT_EQ(read_time_of_day("0.34375"), (8 * 60 + 15) * kMinute);
  EXPECT_EQ(read_time_of_day("0,5"), 12 * kHour);
  EXPECT_EQ(read_time_of_day("0.25"), 6 * kHour) << "a share of a day";
  EXPECT_EQ(read_time_of_day("8 pm"), 20 * kHour);
  for (const char* text : {"", "8", "noon", "24:00", "1.5", "-0.5", "8:15x"}) {
    EXPECT_EQ(read_time_of_day(text), std::nullopt) << text;
  }
}

std::optional<DateOrder> order_of(const std::vector<std::string>& cells) {
  DateOrderFinder finder;
  for (const std::string& cell : cells) finder.add(cell);
  return finder.order();
}

TEST(WrittenDate, TheOrderIsFoundOutFromTheWholeColumn) {
  EXPECT_EQ(order_of({"3.4.26", "13.4.26"}), kDmy);
  EXPECT_EQ(order_of({"13.10.25", "14.10.25"}), kDmy) << "not 2013: a year of two digits stands last";
  EXPECT_EQ(order_of({"03/04/2026", "04/13/2026"}), kMdy);
  EXPECT_EQ(order_of({"26-03-04", "99-01-02"}), kYmd);
  EXPECT_EQ(order_of({"26-03-04", "26-03-14"}), std::nullopt) << "or days of 2004 and 2014";
  EXPECT_EQ(order_of({"2026-03-04", "4 Mar 2026"}), kYmd) << "any: they need none";
  EXPECT_EQ(order_of({"03/04/2026", "04/05/2026"}), std::nullopt);
  EXPECT_EQ(order_of({"4/4/2026", "5/5/2026"}), kDmy) << "either: they mean the same days";
  EXPECT_EQ(order_of({"13/04/2026", "04/13/2026"}), std::nullopt) << "mixed";
  EXPECT_EQ(order_of({"10/10/03"}), kDmy) << "10 October 2003, not 3 October 2010";
  EXPECT_EQ(order_of({"soon", ""}), std::nullopt);
  DateOrderFinder mixed;
  mixed.add("13/04/2026");
  mixed.add("04/13/2026");
  EXPECT_TRUE(mixed.is_mixed());
  DateOrderFinder open;
  open.add("13/04/2026");
  EXPECT_EQ(open.example(), "");
  open.add("03/04/2026");
  EXPECT_EQ(open.example(), "03/04/2026");
}

RC_GTEST_PROP(WrittenDate, WhatIsWrittenIsReadAgain, ()) {
  const auto at = *rc::gen::inRange(day(1990, 1, 1), day(2089, 12, 31));
  const std::chrono::year_month_day date{std::chrono::sys_days{std::chrono::days{at}}};
  const int y = static_cast<int>(date.year());
  const unsigned m = static_cast<unsigned>(date.month());
  const unsigned d = static_cast<unsigned>(date.day());
  const auto order = *rc::gen::elementOf(std::vector<DateOrder>{kDmy, kMdy, kYmd});
  const auto separator = *rc::gen::element('.', '/', '-', ' ');
  const bool padded = *rc::gen::arbitrary<bool>();
  const bool full_year = *rc::gen::arbitrary<bool>();
  const auto minute = *rc::gen::inRange<int>(0, 24 * 60);
  const auto with_time = *rc::gen::inRange(0, 3);
  const auto two = [&](unsigned v) { return (padded && v < 10 ? "0" : "") + std::to_string(v); };
  const std::string year = full_year ? std::to_string(y) : std::to_string(100 + y % 100).substr(1);
  std::array<std::string, 3> parts = {two(d), two(m), year};
  if (order == kMdy) parts = {two(m), two(d), year};
  if (order == kYmd) parts = {year, two(m), two(d)};
  std::string text = parts[0] + separator + parts[1] + separator + parts[2];
  std::int64_t us_of_day = -1;
  if (with_time > 0) {
    const bool halves = with_time == 2;
    const int hour = minute / 60;
    const int shown = halves ? (hour + 11) % 12 + 1 : hour;
    text += ' ' + std::to_string(shown) + ':' + std::to_string(100 + minute % 60).substr(1);
    if (halves) text += hour < 12 ? " am" : " pm";
    us_of_day = minute * kMinute;
  }
  const auto read = read_written_date(text, order);
  RC_ASSERT(read.has_value());
  RC_ASSERT(read->day == at);
  RC_ASSERT(read->us_of_day.value_or(-1) == us_of_day);
  DateOrderFinder finder;
  finder.add(text);
  const auto again = finder.order() ? read_written_date(text, *finder.order()) : read;
  RC_ASSERT(again.has_value());
  // A year of two digits is taken to stand last, but for hyphens.
  if (order != kYmd || full_year || separator == '-') RC_ASSERT(again->day == at);
}

RC_GTEST_PROP(WrittenDate, DaysOfASpreadsheetAreReadToTheMinute, ()) {
  const auto at = *rc::gen::inRange(day(1990, 1, 1), day(2100, 12, 31));
  const auto minute = *rc::gen::inRange<int>(0, 24 * 60);
  std::array<char, 40> text{};
  (void)std::snprintf(text.data(), text.size(), "%.11f", static_cast<double>(at + 25569) + minute / 1440.0);
  const auto date = read_written_date(text.data(), kDmy);
  RC_ASSERT(date.has_value());
  RC_ASSERT(date->day == at);
  RC_ASSERT(date->us_of_day.value_or(0) == minute * kMinute);
}

}  // namespace
}  // namespace throughcure::exchange
