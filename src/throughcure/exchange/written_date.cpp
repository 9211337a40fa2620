#include "throughcure/exchange/written_date.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <string>
#include <utility>

#include "throughcure/exchange/columns_text.hpp"
#include "throughcure/exchange/written_number.hpp"

namespace throughcure::exchange {

namespace {

using Day = std::int64_t;

constexpr std::int64_t kUsPerSecond = 1'000'000;
constexpr std::int64_t kUsPerMinute = 60 * kUsPerSecond;
constexpr std::int64_t kUsPerHour = 60 * kUsPerMinute;
constexpr std::int64_t kUsPerDay = 24 * kUsPerHour;
constexpr int kEarliestYear = 1990;
constexpr int kLatestYear = 2100;
/// Day 1 of a spreadsheet is 1900-01-01 and its day 60 the 1900-02-29 that never was (ECMA-376 part 1, 18.17.4.1).
constexpr double kSpreadsheetDayOf1970 = 25569;

constexpr std::array<std::string_view, 12> kMonths = {"january",   "february", "march",    "april",
                                                      "may",       "june",     "july",     "august",
                                                      "september", "october",  "november", "december"};
constexpr std::array<std::string_view, 7> kWeekdays = {"monday", "tuesday",  "wednesday", "thursday",
                                                       "friday", "saturday", "sunday"};

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

void skip_blanks(std::string_view& text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
}

struct Digits {
  int value = 0;
  std::size_t count = 0;
};

/// Up to eight digits off the front; count 0 where there are none or more.
Digits take_digits(std::string_view& text) {
  constexpr std::size_t most = 8;
  Digits digits;
  std::string_view rest = text;
  while (!rest.empty() && is_digit(rest.front())) {
    if (digits.count == most) return {};
    digits.value = 10 * digits.value + (rest.front() - '0');
    ++digits.count;
    rest.remove_prefix(1);
  }
  text = rest;
  return digits;
}

/// Letters off the front, in lower case.
std::string take_word(std::string_view& text) {
  std::string word;
  while (!text.empty() && is_letter(text.front())) {
    const char c = text.front();
    word += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    text.remove_prefix(1);
  }
  return word;
}

/// Three letters or more of a name; "sept" is one too.
template <std::size_t N>
std::optional<int> place_of(const std::array<std::string_view, N>& names, const std::string& word) {
  constexpr std::size_t least = 3;
  if (word.size() < least) return std::nullopt;
  const auto at = std::ranges::find_if(names, [&](std::string_view name) { return name.starts_with(word); });
  if (at == names.end()) return std::nullopt;
  return static_cast<int>(at - names.begin());
}

std::optional<Day> day_of(int year, int month, int day) {
  if (year < kEarliestYear || year > kLatestYear || month < 1 || day < 1) return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year{year}, std::chrono::month{static_cast<unsigned>(month)},
                                         std::chrono::day{static_cast<unsigned>(day)}};
  if (!date.ok()) return std::nullopt;
  return std::chrono::sys_days{date}.time_since_epoch().count();
}

std::optional<int> year_of(const Digits& digits) {
  if (digits.count == 4) return digits.value;
  if (digits.count != 2) return std::nullopt;
  return digits.value >= kEarliestYear % 100 ? 1900 + digits.value : 2000 + digits.value;
}

std::optional<Day> day_of(const Digits& year, int month, const Digits& day) {
  const auto full = year_of(year);
  if (!full || day.count < 1 || day.count > 2) return std::nullopt;
  return day_of(*full, month, day.value);
}

std::optional<Day> last_day_of(int year, int month) {
  if (!day_of(year, month, 1)) return std::nullopt;
  const std::chrono::year_month_day_last last{
      std::chrono::year{year}, std::chrono::month_day_last{std::chrono::month{static_cast<unsigned>(month)}}};
  return std::chrono::sys_days{last}.time_since_epoch().count();
}

/// What stands between two parts of a date, the same both times: one of . / - with blanks around it, or blanks.
char take_separator(std::string_view& text) {
  const bool blank = !text.empty() && text.front() == ' ';
  skip_blanks(text);
  if (!text.empty() && (text.front() == '.' || text.front() == '/' || text.front() == '-')) {
    const char separator = text.front();
    text.remove_prefix(1);
    skip_blanks(text);
    return separator;
  }
  return blank ? ' ' : '\0';
}

std::optional<Day> in_order(const Digits& first, const Digits& second, const Digits& third, DateOrder order) {
  if (first.count == 4) order = DateOrder::kYearMonthDay;
  if (third.count == 4 && order == DateOrder::kYearMonthDay) return std::nullopt;
  const auto month = [](const Digits& digits) { return digits.count <= 2 ? digits.value : 0; };
  switch (order) {
    case DateOrder::kDayMonthYear:
      return day_of(third, month(second), first);
    case DateOrder::kMonthDayYear:
      return day_of(third, month(first), second);
    case DateOrder::kYearMonthDay:
      return day_of(first, month(second), third);
  }
  return std::nullopt;
}

/// "4 Mar 2026", "4-Mar-26", "4. March 2026" after the 4.
std::optional<Day> day_then_name(const Digits& day, std::string_view& text) {
  if (text.starts_with("st") || text.starts_with("nd") || text.starts_with("rd") || text.starts_with("th")) {
    text.remove_prefix(2);
  }
  take_separator(text);
  const auto month = place_of(kMonths, take_word(text));
  if (!month) return std::nullopt;
  take_separator(text);
  if (text.starts_with(',')) text.remove_prefix(1);
  skip_blanks(text);
  return day_of(take_digits(text), *month + 1, day);
}

/// "Mar 4, 2026" after the month's name.
std::optional<Day> name_then_day(int month, std::string_view& text) {
  take_separator(text);
  const Digits day = take_digits(text);
  if (text.starts_with("st") || text.starts_with("nd") || text.starts_with("rd") || text.starts_with("th")) {
    text.remove_prefix(2);
  }
  if (text.starts_with(',')) text.remove_prefix(1);
  take_separator(text);
  return day_of(take_digits(text), month + 1, day);
}

std::optional<Day> take_date(std::string_view& text, DateOrder order) {
  std::string word = take_word(text);
  if (!word.empty() && place_of(kWeekdays, word)) {
    if (text.starts_with('.')) text.remove_prefix(1);
    if (text.starts_with(',')) text.remove_prefix(1);
    skip_blanks(text);
    word = take_word(text);
  }
  if (!word.empty()) {
    const auto month = place_of(kMonths, word);
    return month ? name_then_day(*month, text) : std::nullopt;
  }
  const Digits first = take_digits(text);
  if (first.count == 8) return day_of(first.value / 10'000, first.value / 100 % 100, first.value % 100);
  if (first.count == 0) return std::nullopt;
  std::string_view ahead = text;
  take_separator(ahead);
  if (!ahead.empty() && is_letter(ahead.front())) return day_then_name(first, text);
  const char separator = take_separator(text);
  const Digits second = take_digits(text);
  if (separator == '\0' || second.count == 0) return std::nullopt;
  if (take_separator(text) != separator) return std::nullopt;
  return in_order(first, second, take_digits(text), order);
}

/// "am", "pm", "a.m.", "P.M." off the front, after blanks: 0 or 12 hours; nothing where it stands not there.
std::optional<int> take_half_of_day(std::string_view& text) {
  std::string_view rest = text;
  skip_blanks(rest);
  if (rest.empty()) return std::nullopt;
  const char half = static_cast<char>(rest.front() | 0x20);
  if (half != 'a' && half != 'p') return std::nullopt;
  rest.remove_prefix(1);
  if (rest.starts_with('.')) rest.remove_prefix(1);
  if (rest.empty() || (rest.front() != 'm' && rest.front() != 'M')) return std::nullopt;
  rest.remove_prefix(1);
  if (rest.starts_with('.')) rest.remove_prefix(1);
  text = rest;
  return half == 'a' ? 0 : 12;
}

/// Minutes or seconds after their mark: two digits below 60. False where they stand there and are wrong.
bool take_sixtieths(std::string_view& text, int& value) {
  text.remove_prefix(1);
  const Digits digits = take_digits(text);
  value = digits.value;
  return digits.count == 2 && digits.value < 60;
}

/// A time of day off the front. An hour alone is one only with am or pm.
std::optional<std::int64_t> take_time(std::string_view& text) {
  const Digits hours = take_digits(text);
  if (hours.count < 1 || hours.count > 2) return std::nullopt;
  int minutes = 0;
  int seconds = 0;
  std::int64_t us = 0;
  const bool with_minutes = text.starts_with(':') || text.starts_with('.') || text.starts_with('h');
  if (with_minutes) {
    const char mark = text.front();
    if (!take_sixtieths(text, minutes)) return std::nullopt;
    if (text.starts_with(mark) && mark != 'h') {
      if (!take_sixtieths(text, seconds)) return std::nullopt;
      if (mark == ':' && (text.starts_with('.') || text.starts_with(','))) {
        text.remove_prefix(1);
        std::int64_t place = kUsPerSecond / 10;
        if (text.empty() || !is_digit(text.front())) return std::nullopt;
        for (; !text.empty() && is_digit(text.front()); text.remove_prefix(1), place /= 10) {
          us += place * (text.front() - '0');
        }
      }
    }
  }
  int hour = hours.value;
  if (const auto half = take_half_of_day(text)) {
    if (hour < 1 || hour > 12) return std::nullopt;
    hour = hour % 12 + *half;
  } else if (!with_minutes) {
    return std::nullopt;
  }
  if (hour > 23) return std::nullopt;
  return hour * kUsPerHour + minutes * kUsPerMinute + seconds * kUsPerSecond + us;
}

/// "Z", "+01:00", "-0330" off the front [minutes]; nothing where none stands there.
std::optional<std::int64_t> take_offset(std::string_view& text) {
  constexpr int most_hours = 14;
  std::string_view rest = text;
  if (rest.starts_with('Z') || rest.starts_with('z')) {
    text.remove_prefix(1);
    return 0;
  }
  skip_blanks(rest);
  if (!rest.starts_with('+') && !rest.starts_with('-')) return std::nullopt;
  const int sign = rest.front() == '+' ? 1 : -1;
  rest.remove_prefix(1);
  const Digits first = take_digits(rest);
  int hours = first.value;
  int minutes = 0;
  if (first.count == 4) {
    hours = first.value / 100;
    minutes = first.value % 100;
  } else if (first.count != 2 || !rest.starts_with(':') || !take_sixtieths(rest, minutes)) {
    return std::nullopt;
  }
  if (hours > most_hours || minutes > 59) return std::nullopt;
  text = rest;
  return sign * (60 * hours + minutes);
}

/// A number of days as spreadsheets count them.
std::optional<WrittenDate> spreadsheet_day(std::string_view text) {
  if (!std::ranges::all_of(text, [](char c) { return is_digit(c) || c == '.' || c == ','; })) return std::nullopt;
  const auto number =
      read_written_number(text, text.find(',') == std::string_view::npos ? DecimalMark::kPoint : DecimalMark::kComma);
  if (!number) return std::nullopt;
  const double since_1970 = number->value - kSpreadsheetDayOf1970;
  const double whole = std::floor(since_1970);
  const auto earliest = day_of(kEarliestYear, 1, 1);
  const auto latest = day_of(kLatestYear, 12, 31);
  if (!earliest || !latest || whole < static_cast<double>(*earliest) || whole > static_cast<double>(*latest)) {
    return std::nullopt;
  }
  WrittenDate date{.day = static_cast<Day>(whole)};
  if (since_1970 != whole) {
    // Spreadsheets keep some 11 digits behind the point: whole milliseconds are what they mean.
    constexpr std::int64_t ms_per_day = 86'400'000;
    const std::int64_t ms = std::llround((since_1970 - whole) * static_cast<double>(ms_per_day));
    date.us_of_day = std::min(ms, ms_per_day - 1) * 1000;
  }
  return date;
}

constexpr std::size_t index(DateOrder order) { return static_cast<std::size_t>(order); }

}  // namespace

std::string_view word(DateOrder order) {
  constexpr std::array<std::string_view, kDateOrders.size()> words = {"dmy", "mdy", "ymd"};
  return words.at(index(order));
}

std::optional<DateOrder> date_order_called(std::string_view called) {
  const auto at = std::ranges::find_if(kDateOrders, [&](DateOrder order) { return word(order) == called; });
  if (at == kDateOrders.end()) return std::nullopt;
  return *at;
}

std::optional<WrittenDate> read_written_date(std::string_view text, DateOrder order) {
  constexpr std::size_t longest = 60;
  text = trimmed(text);
  if (text.empty() || text.size() > longest) return std::nullopt;
  std::string_view rest = text;
  const auto day = take_date(rest, order);
  if (!day) return spreadsheet_day(text);
  WrittenDate date{.day = *day};
  if (rest.empty()) return date;
  if (rest.starts_with('T') || rest.starts_with('t')) {
    rest.remove_prefix(1);
  } else {
    if (rest.starts_with('.') || rest.starts_with(',')) rest.remove_prefix(1);  // "04/03/2026, 8:15"
    if (rest.empty()) return date;
    if (rest.front() != ' ' && rest.front() != '\t') return std::nullopt;
    skip_blanks(rest);
  }
  date.us_of_day = take_time(rest);
  if (!date.us_of_day) return std::nullopt;
  date.offset_minutes = take_offset(rest);
  if (!rest.empty()) return std::nullopt;
  return date;
}

std::optional<std::int64_t> last_day_of_written_month(std::string_view text) {
  text = trimmed(text);
  const std::string name = take_word(text);
  std::optional<int> named = name.empty() ? std::nullopt : place_of(kMonths, name);
  Digits year;
  Digits month;
  if (name.empty()) {
    month = take_digits(text);
    if (month.count == 0 || take_separator(text) == '\0') return std::nullopt;
    if (month.count == 4 && !text.empty() && is_letter(text.front())) {
      named = place_of(kMonths, take_word(text));
      if (!named) return std::nullopt;
      year = month;
    } else {
      year = take_digits(text);
      if (month.count == 4 || (month.count == 2 && month.value > 12)) std::swap(year, month);
      if (month.count > 2) return std::nullopt;
    }
  } else {
    if (!named || take_separator(text) == '\0') return std::nullopt;
    year = take_digits(text);
  }
  const auto full = year_of(year);
  if (!text.empty() || !full) return std::nullopt;
  return last_day_of(*full, named ? *named + 1 : month.value);
}

std::optional<std::int64_t> read_time_of_day(std::string_view text) {
  text = trimmed(text);
  std::string_view rest = text;
  // "0.25" is a quarter of a day and "8.15" a time: nobody writes midnight's hour with one digit and a point.
  if (!text.starts_with("0.") && !text.starts_with("0,")) {
    const auto time = take_time(rest);
    if (time && rest.empty()) return time;
  }
  for (const DecimalMark decimal : {DecimalMark::kPoint, DecimalMark::kComma}) {
    const auto number = read_written_number(text, decimal);
    if (!number || !number->unit.empty() || number->value < 0 || number->value >= 1) continue;
    constexpr double ms_per_day = 86'400'000;
    return std::min(std::llround(number->value * ms_per_day) * 1000LL, static_cast<long long>(kUsPerDay - 1));
  }
  return std::nullopt;
}

void DateOrderFinder::add(std::string_view cell) {
  std::array<std::optional<WrittenDate>, kDateOrders.size()> as;
  bool reads = false;
  for (const DateOrder order : kDateOrders) {
    as.at(index(order)) = read_written_date(cell, order);
    reads_.at(index(order)) += as.at(index(order)) ? 1U : 0U;
    reads = reads || as.at(index(order));
  }
  if (!reads) return;
  ++dates_;
  const auto& [day_first, month_first, year_first] = as;
  day_first_only_ += day_first && !month_first ? 1U : 0U;
  month_first_only_ += month_first && !day_first ? 1U : 0U;
  const bool either = day_first && month_first && day_first != month_first;
  const bool hyphens = cell.substr(0, 3).find('-') != std::string_view::npos;
  const bool year =
      hyphens && year_first && ((day_first && day_first != year_first) || (month_first && month_first != year_first));
  day_or_month_first_ += either ? 1U : 0U;
  year_last_ += !hyphens && day_first && year_first && day_first != year_first ? 1U : 0U;
  year_first_too_ += year ? 1U : 0U;
  if (example_.empty() && (either || year)) example_ = cell;
}

bool DateOrderFinder::is_mixed() const { return day_first_only_ > 0 && month_first_only_ > 0; }

bool DateOrderFinder::fits(DateOrder order) const {
  return dates_ > 0 && reads_.at(index(order)) == *std::ranges::max_element(reads_);
}

std::optional<DateOrder> DateOrderFinder::order() const {
  if (is_mixed() || dates_ == 0) return std::nullopt;
  const bool day_first = fits(DateOrder::kDayMonthYear);
  const bool month_first = fits(DateOrder::kMonthDayYear);
  const bool year_first = fits(DateOrder::kYearMonthDay);
  if (year_first && !day_first && !month_first) return DateOrder::kYearMonthDay;
  if (year_first && year_first_too_ > 0) return std::nullopt;
  if (day_first != month_first) return day_first ? DateOrder::kDayMonthYear : DateOrder::kMonthDayYear;
  if (day_or_month_first_ > 0) return std::nullopt;
  // All dates mean the same in every order (2026-03-04, 4 March 2026), or with the year last (10/10/03): that will do.
  return year_first && year_last_ == 0 ? DateOrder::kYearMonthDay : DateOrder::kDayMonthYear;
}

}  // namespace throughcure::exchange
