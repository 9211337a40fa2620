// Months as a site counts them, for what is printed of one.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "throughcure/desk/local_day.hpp"

namespace throughcure::desk {

struct LocalMonth {
  int year = 1970;
  unsigned month = 1;  ///< 1..12
  friend bool operator==(const LocalMonth&, const LocalMonth&) = default;
};

/// "2026-11" and nothing else, of the years 1990 to 2100; none where it is anything else.
std::optional<LocalMonth> parse_month(std::string_view text);

/// "2026-11"
std::string month_code(const LocalMonth& month);
/// "November 2026"
std::string month_text(const LocalMonth& month);

LocalMonth month_of(base::Instant at, std::string_view time_zone);
LocalMonth after(const LocalMonth& month);

/// When it begins by that clock. Throws base::Failure where the zone is not known.
base::Instant begin_of(const LocalMonth& month, std::string_view time_zone);

/// Whether an instant lies in it by that clock.
bool is_in(const LocalMonth& month, base::Instant at, std::string_view time_zone);

/// What a print of the month knows: all up to its end, or up to now where it is not over.
base::Instant known_until(const LocalMonth& month, base::Instant now, std::string_view time_zone);

}  // namespace throughcure::desk
