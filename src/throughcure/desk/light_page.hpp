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

/// Everything up to `now`.
LightView light_view(LightRecord record, const Policy& policy, base::Instant now);

/// A chart's alarm in words: "It has been drifting down since 2026-08-03." Days by the site's clock.
std::string alarm_sentence(const fleet::Alarm& alarm, const std::string& time_zone);

/// Why a reading does not count, in words.
std::string_view sentence(fleet::NotCounted why);

/// The first sentence of its page.
std::string first_sentence(const LightView& view, base::Instant now);

/// The output over time as it was estimated then, and as it is forecast: so many points back and ahead.
struct BandPoint {
  base::Instant at{};
  fleet::OutputSpread output{};
};
std::vector<BandPoint> output_band(const LightView& view, base::Instant now);

}  // namespace throughcure::desk
