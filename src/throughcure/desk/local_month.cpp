#include "throughcure/desk/local_month.hpp"

#include <algorithm>
#include <array>
#include <chrono>

#include "throughcure/base/number_text.hpp"

namespace throughcure::desk {

namespace {

constexpr std::array<std::string_view, 12> kNames = {"January",   "February", "March",    "April",
                                                     "May",       "June",     "July",     "August",
                                                     "September", "October",  "November", "December"};
constexpr int kFirstYear = 1990;
constexpr int kLastYear = 2100;

LocalDay first_day(const LocalMonth& month) {
  const std::chrono::year_month_day day{std::chrono::year{month.year}, std::chrono::month{month.month},
                                        std::chrono::day{1}};
  return std::chrono::sys_days{day}.time_since_epoch().count();
}

}  // namespace

std::optional<LocalMonth> parse_month(std::string_view text) {
  if (text.size() != 7 || text[4] != '-') return std::nullopt;
  const auto digit = [](char c) { return c >= '0' && c <= '9'; };
  const std::string_view year = text.substr(0, 4);
  const std::string_view month = text.substr(5);
  if (!std::ranges::all_of(year, digit) || !std::ranges::all_of(month, digit)) return std::nullopt;
  const LocalMonth found{static_cast<int>(base::whole_number(year).value_or(0)),
                         static_cast<unsigned>(base::whole_number(month).value_or(0))};
  const bool is_one = found.month >= 1 && found.month <= 12 && found.year >= kFirstYear && found.year <= kLastYear;
  return is_one ? std::optional(found) : std::nullopt;
}

std::string month_code(const LocalMonth& month) {
  return std::to_string(month.year) + (month.month < 10 ? "-0" : "-") + std::to_string(month.month);
}

std::string month_text(const LocalMonth& month) {
  return std::string(kNames.at(month.month - 1)) + " " + std::to_string(month.year);
}

LocalMonth month_of(base::Instant at, std::string_view time_zone) {
  const std::chrono::year_month_day day{
      std::chrono::sys_days{std::chrono::days{static_cast<int>(local_day(at, time_zone))}}};
  return {static_cast<int>(day.year()), static_cast<unsigned>(day.month())};
}

LocalMonth after(const LocalMonth& month) {
  return month.month == 12 ? LocalMonth{month.year + 1, 1} : LocalMonth{month.year, month.month + 1};
}

base::Instant begin_of(const LocalMonth& month, std::string_view time_zone) {
  return begin_of(first_day(month), time_zone);
}

bool is_in(const LocalMonth& month, base::Instant at, std::string_view time_zone) {
  return begin_of(month, time_zone) <= at && at < begin_of(after(month), time_zone);
}

base::Instant known_until(const LocalMonth& month, base::Instant now, std::string_view time_zone) {
  return std::min(now, begin_of(after(month), time_zone) - std::chrono::microseconds(1));
}

}  // namespace throughcure::desk
