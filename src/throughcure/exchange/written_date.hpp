// Dates and times of day as people and spreadsheets write them.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace throughcure::exchange {

/// Which of three numbers is the day, the month and the year.
enum class DateOrder : std::uint8_t { kDayMonthYear, kMonthDayYear, kYearMonthDay };

inline constexpr std::array kDateOrders = {DateOrder::kDayMonthYear, DateOrder::kMonthDayYear,
                                           DateOrder::kYearMonthDay};

/// "dmy", "mdy", "ymd"
std::string_view word(DateOrder order);
std::optional<DateOrder> date_order_called(std::string_view word);

/// A date by some clock, the time where one was written.
struct WrittenDate {
  std::int64_t day = 0;                          ///< since 1970-01-01
  std::optional<std::int64_t> us_of_day{};       ///< [us] since midnight by that clock
  std::optional<std::int64_t> offset_minutes{};  ///< of that clock from UTC, where it was written
  friend bool operator==(const WrittenDate&, const WrittenDate&) = default;
};

/// Reads "4.3.26", "03/04/2026 8:15 am", "2026-03-04T08:15:30.5+01:00", "20260304", "4 Mar 2026", "March 4, 2026", and
/// the number of a day as spreadsheets count them (46085.34375; day 1 is 1900-01-01, and there was a 1900-02-29: right
/// from 1900-03-01 on). Between the numbers stands . / - or a blank. A first or last number of four digits is the year
/// whatever the order; two digits are 1990 to 2089. Days from 1990 to 2100 only. Names of months are English; the name
/// of a day of the week before is passed over. Nothing where it is no such date.
std::optional<WrittenDate> read_written_date(std::string_view text, DateOrder order);

/// The last day (since 1970-01-01) of a month that is written without a day, as on a pack: "2027-03", "03/2027",
/// "3.27", "27-03", "Mar 2027", "Mar-27". Of two numbers one with four digits, or above 12 and before the other, is the
/// year; of two that may both be a month the first one is (common practice, no source). Years as above. That a month
/// alone means its last day: GS1 General Specifications, AI (17), where 00 stands for the day (from memory).
std::optional<std::int64_t> last_day_of_written_month(std::string_view text);

/// [us] since midnight: "8:15", "08:15:30.5", "8.15", "8:15 am", "8 pm", or a spreadsheet's share of a day, "0.34375".
std::optional<std::int64_t> read_time_of_day(std::string_view text);

/// Finds out in which order a column's dates are written. What reads in no order counts for nothing. A year of two
/// digits is taken to stand last where it can, unless hyphens part the numbers (common practice, no source).
class DateOrderFinder {
 public:
  void add(std::string_view cell);
  /// The order in which they all read, where only one is possible, or all possible ones mean the same days.
  [[nodiscard]] std::optional<DateOrder> order() const;
  /// Some read with the day first only, others with the month first only.
  [[nodiscard]] bool is_mixed() const;
  /// The first date that means another day in another possible order; empty: none.
  [[nodiscard]] const std::string& example() const { return example_; }
  /// Those in which most of them read.
  [[nodiscard]] bool fits(DateOrder order) const;
  /// Whether there was any date.
  [[nodiscard]] bool any() const { return dates_ > 0; }

 private:
  std::array<std::size_t, kDateOrders.size()> reads_{};  ///< dates that read in this order
  std::size_t dates_ = 0;
  std::size_t day_or_month_first_ = 0;  ///< dates that mean different days by these two
  std::size_t year_first_too_ = 0;      ///< dates with hyphens that mean another day with the year first
  std::size_t year_last_ = 0;           ///< dates without hyphens that do
  std::string example_;
  std::size_t day_first_only_ = 0;
  std::size_t month_first_only_ = 0;
};

}  // namespace throughcure::exchange
