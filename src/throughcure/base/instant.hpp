// A moment in time, the same for every clock and zone.
#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace throughcure::base {

/// Microseconds since 1970-01-01T00:00:00 UTC, leap seconds not counted (as in POSIX).
struct Instant {
  std::int64_t us = 0;
  friend constexpr auto operator<=>(const Instant&, const Instant&) = default;
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
