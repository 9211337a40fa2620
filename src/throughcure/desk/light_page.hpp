// What a light's page shows and what the list of lights says: records and statistics joined.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "throughcure/desk/light_state.hpp"
#include "throughcure/desk/limit.hpp"
#include "throughcure/fleet/light_output.hpp"

namespace throughcure::desk {

/// How one light stands, with what it gives.
struct LightView {
  LightRecord record;
  LightState state;
  fleet::LightOutput output;
  std::optional<std::string> alarm;     ///< a sentence of the charts, where one stands
  Limit limit;                          ///< the forecast is of the day on which its output falls below
  std::string limit_why;                ///< "80 % of its baseline"
  std::optional<std::string> shown_by;  ///< the radiometer by which limit, band and chart are told
  std::vector<SeriesScale> scales;      ///< of each series, on the chart
};

/// The alarm that stands in the series of the last reading that counts; of several the one whose change began first.
std::optional<fleet::Alarm> alarm_that_stands(const fleet::LightOutput& output, const Standing& standing);

/// In words.
std::optional<std::string> standing_alarm(const std::optional<fleet::Alarm>& alarm, const fleet::LightToday& output,
                                          const LightRecord& record);

/// A light in use is watched where an alarm stands, and where it sags on a low battery: a sentence of each.
void watch_where_alarmed(LightState& state, const std::optional<std::string>& alarm, const fleet::LightToday& output);

/// Everything up to `now`.
LightView light_view(LightRecord record, const Policy& policy, base::Instant now);

/// A chart's alarm in words: "It has been drifting down since 2026-08-03." Days by the site's clock.
std::string alarm_sentence(const fleet::Alarm& alarm, const std::string& time_zone);

/// Why a reading does not count, in words.
std::string_view sentence(fleet::NotCounted why);

/// The first sentence of its page.
std::string first_sentence(const LightView& view, base::Instant now);

/// The output over time as it was estimated then, and as it is forecast, as `shown_by` shows it, where readings and
/// limit are: so many points back and ahead, and two, a microsecond apart, where the estimate jumps.
struct BandPoint {
  base::Instant at{};
  fleet::OutputSpread output{};
};
std::vector<BandPoint> output_band(const LightView& view, base::Instant now);

}  // namespace throughcure::desk
