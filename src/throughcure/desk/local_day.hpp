// Days as a site counts them: by its own clock, through both of its daylight-saving nights.
#pragma once

#include <chrono>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/base/instant.hpp"

namespace throughcure::desk {

/// Days since 1970-01-01 on a site's calendar; plain whole numbers, so that a week is seven.
using LocalDay = std::int64_t;

/// Whether there is such a zone in the system's table (IANA's names, "Europe/Lisbon").
bool is_time_zone(std::string_view name);

/// The day that a site's clock shows at an instant. Throws base::Failure where the zone is not known.
LocalDay local_day(base::Instant at, std::string_view time_zone);

/// The ends of a day that is kept as its noon.
constexpr base::Instant begin_of_day(base::Instant noon) { return noon - std::chrono::hours(12); }
constexpr base::Instant end_of_day(base::Instant noon) { return noon + std::chrono::hours(12); }

/// Whether a day that something is good until is over: good all through it. Such a day is kept as its noon.
constexpr bool is_day_over(base::Instant noon, base::Instant at) { return at >= end_of_day(noon); }

/// The instant at which that day begins there.
base::Instant begin_of(LocalDay day, std::string_view time_zone);

/// The instants at which a site's clock shows a time of day.
struct LocalMoment {
  std::vector<base::Instant> at;  ///< one; none where the clock is put forward over it; two where it is put back
};

/// `us_of_day` [us] since midnight, as the clock shows it.
LocalMoment local_moment(LocalDay day, std::int64_t us_of_day, std::string_view time_zone);

/// "2026-11-26"
std::string day_text(LocalDay day);

/// Day and time as that clock shows them: "2026-11-26 09:05"
std::string local_text(base::Instant at, std::string_view time_zone);

}  // namespace throughcure::desk
