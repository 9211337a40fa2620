#include "throughcure/base/instant.hpp"

#include <array>
#include <chrono>
#include <cstddef>

#include "throughcure/base/problem.hpp"

namespace throughcure::base {

namespace {

using std::chrono::days;
using std::chrono::microseconds;
using std::chrono::sys_days;

/// What stands in the text, from left to right.
struct Part {
  std::size_t digits;
  std::string_view after;
};
constexpr std::array<Part, 7> kParts{{{4, "-"}, {2, "-"}, {2, "T"}, {2, ":"}, {2, ":"}, {2, "."}, {6, "Z"}}};
using Values = std::array<int, kParts.size()>;

constexpr std::int64_t kUsPerSecond = 1'000'000;

/// Every digit where it must be.
std::optional<Values> values_of(std::string_view text) {
  Values values{};
  for (std::size_t i = 0; i < kParts.size(); ++i) {
    if (text.size() < kParts[i].digits + 1) return std::nullopt;
    for (const char c : text.substr(0, kParts[i].digits)) {
      if (c < '0' || c > '9') return std::nullopt;
      values[i] = 10 * values[i] + (c - '0');
    }
    text.remove_prefix(kParts[i].digits);
    if (!text.starts_with(kParts[i].after)) return std::nullopt;
    text.remove_prefix(1);
  }
  if (!text.empty()) return std::nullopt;
  return values;
}

}  // namespace

std::string instant_text(Instant instant) {
  if (instant < kEarliestInstant || instant > kLatestInstant) {
    throw Failure("an instant outside the years 1 to 9999 cannot be written: " + std::to_string(instant.us) + " us");
  }
  const std::chrono::sys_time<microseconds> time{microseconds{instant.us}};
  const sys_days day = std::chrono::floor<days>(time);
  const std::chrono::year_month_day date{day};
  const std::int64_t us = (time - day).count();
  const std::int64_t s = us / kUsPerSecond;
  const std::array<std::int64_t, kParts.size()> values{static_cast<int>(date.year()),
                                                       static_cast<unsigned>(date.month()),
                                                       static_cast<unsigned>(date.day()),
                                                       s / 3600,
                                                       s / 60 % 60,
                                                       s % 60,
                                                       us % kUsPerSecond};
  std::string text;
  for (std::size_t i = 0; i < kParts.size(); ++i) {
    const std::string digits = std::to_string(values[i]);
    text.append(kParts[i].digits - digits.size(), '0').append(digits).append(kParts[i].after);
  }
  return text;
}

std::optional<Instant> parse_instant(std::string_view text) {
  const std::optional<Values> values = values_of(text);
  if (!values) return std::nullopt;
  const auto& [year, month, day, hour, minute, second, us] = *values;
  const std::chrono::year_month_day date{std::chrono::year{year}, std::chrono::month{static_cast<unsigned>(month)},
                                         std::chrono::day{static_cast<unsigned>(day)}};
  if (year < 1 || !date.ok() || hour > 23 || minute > 59 || second > 59) return std::nullopt;
  const std::int64_t s = 3600 * hour + 60 * minute + second;
  const microseconds midnight = sys_days{date}.time_since_epoch();
  return Instant{midnight.count() + s * kUsPerSecond + us};
}

}  // namespace throughcure::base
