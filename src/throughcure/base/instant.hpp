// A moment in time, the same for every clock and zone.
#pragma once

#include <chrono>
#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace throughcure::base {

/// Microseconds since 1970-01-01T00:00:00 UTC, leap seconds not counted (as in POSIX).
struct Instant {
  using duration = std::chrono::microseconds;
  std::int64_t us = 0;
  friend constexpr auto operator<=>(const Instant&, const Instant&) = default;
  constexpr Instant& operator+=(std::chrono::microseconds by) {
    us += by.count();
    return *this;
  }
  friend constexpr Instant operator+(Instant at, std::chrono::microseconds by) { return {at.us + by.count()}; }
  friend constexpr Instant operator-(Instant at, std::chrono::microseconds by) { return {at.us - by.count()}; }
  friend constexpr std::chrono::microseconds operator-(Instant a, Instant b) {
    return std::chrono::microseconds(a.us - b.us);
  }
};

/// The instants that can be written: the years 1 to 9999.
inline constexpr Instant kEarliestInstant{-62'135'596'800'000'000};
inline constexpr Instant kLatestInstant{253'402'300'799'999'999};

/// "2026-01-05T08:00:00.000000Z" (RFC 3339, UTC, always six digits), so that the order of the texts is that of the
/// instants. Throws Failure outside the years 1 to 9999.
std::string instant_text(Instant instant);

/// Reads what instant_text writes and nothing else: no other zone, no other number of digits, no leap second.
std::optional<Instant> parse_instant(std::string_view text);

}  // namespace throughcure::base
