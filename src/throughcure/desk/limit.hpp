// The output under which a light's checks fail: one number of each light, wherever it is told, on the scale that checks
// are judged on.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "throughcure/desk/light_state.hpp"
#include "throughcure/fleet/light_output.hpp"

namespace throughcure::desk {

/// Of a light, by the series of its last reading that counts. What is held against it, or drawn beside readings, is
/// what their radiometer shows of the output, not the radiant exitance: of that one far less is known.
struct Limit {
  double shown_mw_cm2 = 0;        ///< as that radiometer shows it without a barrier; the same until a new baseline
  double shown_per_exitance = 1;  ///< what it shows per estimated radiant exitance
};

/// Under what a check fails: under the lower limit, and under the action share of its series' baseline. None: no
/// baseline yet.
double shown_limit(const Policy& policy, std::optional<double> baseline_mw_cm2);

Limit limit_of(const Standing& standing, const Policy& policy, const fleet::LightToday& output);

/// Why it is that: "80 % of its baseline", "the practice's lower limit".
std::string limit_why(const Standing& standing, const Policy& policy);

/// The radiometer that the limit is told by: of its last reading that counts. None: it has none.
std::optional<std::string> shown_by(const LightRecord& record, const Standing& standing);

/// "as Radiometer A shows it"
std::string as_shown_words(const std::optional<std::string>& radiometer);

/// How a series stands on a chart of its light, which is drawn as the radiometer of one series shows it.
struct SeriesScale {
  double limit_mw_cm2 = 0;  ///< under which its checks fail, as its own radiometer shows it
  double to_drawn = 1;      ///< what its readings are multiplied by there; 1 for that one series
};

/// Of each series, for a chart drawn as the series with the reading `drawn_by` shows it.
std::vector<SeriesScale> series_scales(const fleet::LightOutput& output, const Policy& policy,
                                       std::optional<base::ReadingId> drawn_by);

/// How the series with that reading shows the output over time; none where it has none.
std::vector<fleet::ShownFrom> as_shown_by(const fleet::LightOutput& output, std::optional<base::ReadingId> reading);

/// How the readings of each time show it, of whichever series they are, brought to the scale of the chart.
std::vector<fleet::ShownFrom> as_drawn(const fleet::LightOutput& output, const std::vector<SeriesScale>& scales);

/// What a reading is multiplied by there that counts for nothing: as those of its series, if it has one.
double to_drawn(const std::vector<SeriesScale>& scales, const fleet::Uncounted& reading);

}  // namespace throughcure::desk
