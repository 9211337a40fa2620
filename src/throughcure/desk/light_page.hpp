// What a light's page shows and what the list of lights says: records and statistics joined.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "throughcure/desk/light_state.hpp"
#include "throughcure/fleet/light_output.hpp"

namespace throughcure::desk {

/// How one light stands, with what it gives.
struct LightView {
  LightRecord record;
  LightState state;
  fleet::LightOutput output;
  std::optional<std::string> alarm;  ///< a sentence of the charts, where one stands
  double need_mw_cm2 = 0;            ///< output under which its checks fail: the forecast is of the day it falls below
};

/// The series of the last reading that counts, as far as a light's line tells of it.
struct CurrentSeries {
  std::optional<double> ln_share;     ///< mean of its last readings; none: nothing counts
  std::optional<fleet::Alarm> alarm;  ///< that stands; of several the one whose change began first
};
CurrentSeries current_series_of(const fleet::LightOutput& output, const Standing& standing);

/// Output under which its checks fail: a check fails under the lower limit, and under a share of its baseline. What
/// that share is of the output itself follows from today's output and where the last readings stand.
double need_of(const CurrentSeries& current, const Policy& policy, double today_mw_cm2);

/// The alarm that stands, in words.
std::optional<std::string> standing_alarm(const CurrentSeries& current, const fleet::LightToday& output,
                                          const LightRecord& record);

/// A light with an alarm is watched.
void watch_where_alarmed(LightState& state, const std::optional<std::string>& alarm);

/// Everything up to `now`.
LightView light_view(LightRecord record, const Policy& policy, base::Instant now);

/// A chart's alarm in words: "It has been drifting down since 2026-08-03." Days by the site's clock.
std::string alarm_sentence(const fleet::Alarm& alarm, const std::string& time_zone);

/// Why a reading does not count, in words.
std::string_view sentence(fleet::NotCounted why);

/// The first sentence of its page.
std::string first_sentence(const LightView& view, base::Instant now);

/// The output over time as it was estimated then, and as it is forecast: so many points back and ahead, and two, a
/// microsecond apart, where the estimate jumps.
struct BandPoint {
  base::Instant at{};
  fleet::OutputSpread output{};
};
std::vector<BandPoint> output_band(const LightView& view, base::Instant now);

}  // namespace throughcure::desk
