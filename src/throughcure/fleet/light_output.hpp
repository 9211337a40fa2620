// What the planner and the page of the day want of one light: today's output with its interval, where it is going, and
// what the charts say.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "throughcure/fleet/alarms.hpp"
#include "throughcure/fleet/light_history.hpp"
#include "throughcure/fleet/output_estimate.hpp"
#include "throughcure/fleet/paired_gain.hpp"
#include "throughcure/fleet/reading_factor.hpp"
#include "throughcure/fleet/series.hpp"

namespace throughcure::fleet {

/// How far the level may jump, sd on the logarithm. Kind: "from memory", but cleaning (mean gain 8 %, up to 47 %) and a
/// replaced tip (up to 73 %): published, Open Dent J 2019, 13:196.
struct StepSettings {
  double cleaned = 0.10;
  double tip_replaced = 0.25;
  double battery_replaced = 0.05;
  double repaired = 0.30;
  double dropped = 0.20;
  double other = 0.10;
  double alarm = 0.20;  ///< a change that a chart has dated
};

struct LightOutputSettings {
  SeriesSettings series{};
  AlarmSettings alarms{};
  FactorSettings factors{};
  StepSettings steps{};
  PairSettings pairs{};
  OutputModel model{};
  double certificate_claim_sd = 0.05;  ///< of an output that a laboratory measured; from memory
  /// A light without a claim: 1067 lights gave 200 to 3777 mW/cm2 (published, 2015 to 2021), taken for 3 sd each way.
  double unclaimed_mw_cm2 = 870;
  double unclaimed_sd = 0.5;
  double other_mode_sd = 0.7;  ///< of another mode's output against the claimed one's: it gives relative output only
  double sag_flag = 0.10;      ///< a battery sag above it is flagged; from memory
  int forecast_days = 1095;
};

/// Of a value that is not known well: 10 %, 50 %, 90 %.
struct Interval {
  double p10 = 0;
  double p50 = 0;
  double p90 = 0;
};

/// First days on which the chance that the output is below the need reaches 0.1, 0.5, 0.9; none within the days looked
/// at. The output has an even chance to be below on `middle`.
struct FallsBelow {
  std::optional<base::Instant> early{};
  std::optional<base::Instant> middle{};
  std::optional<base::Instant> late{};
};

/// One light's line on the page of the day.
struct LightToday {
  OutputSpread today{};                      ///< of the claimed mode, without a barrier
  std::optional<Interval> share_of_claim{};  ///< of today; the claim itself is believed in it
  Interval change_per_year{};  ///< share by which the output changes in a year at today's slope; -0.1: a loss
  std::optional<FallsBelow> falls_below{};     ///< with a need and a reading only: a claim foretells nothing
  std::optional<double> days_since_reading{};  ///< one that counts
  std::optional<PairedShare> sag{};
  bool sags = false;  ///< its middle is above the setting
  std::optional<PairedShare> cleaning{};
  bool alarm_stands = false;        ///< in the series of the last reading that counts
  bool needs_bare_reading = false;  ///< every alarm that stands was raised with the barrier on
  /// What is shown without a barrier in the series of the last reading that counts, per radiant exitance as estimated:
  /// 0.85 for a radiometer that reads 15 % low. 1 while nothing was read.
  double shown_per_exitance = 1;
  /// The same for the estimate, as its last reading shows it; none while nothing was read.
  std::optional<AsShown> as_shown{};
};

/// And what stands behind it.
struct LightOutput : LightToday {
  OutputKnown known{};  ///< for OutputEstimate, with alarms and services as steps
  SeriesSplit split{};
  std::vector<SeriesAlarms> alarms{};                 ///< of each series
  std::vector<std::vector<ShownFrom>> as_shown_in{};  ///< of each series, never empty; the last is as LightToday has it
  /// Likewise, by the estimate's error of its kind of readings; none from recorded_output.
  std::vector<double> shown_per_exitance_in{};
};

/// What is known up to `now`; the need is as shown by the radiometer of the last reading that counts, without a
/// barrier. Throws base::InputError when the claim is not above 0. A reading before acceptance (the accepting one)
/// counts; the light is then followed from it on.
LightOutput light_output(const LightHistory& history, base::Instant now,
                         std::optional<double> need_mw_cm2 = std::nullopt, const LightOutputSettings& settings = {});

/// What the readings up to a moment say of the claim, which is not believed beforehand: the output that they alone
/// tell, at the last one that counts, as a share of it. Its interval is mostly the radiometer's. None without a claim
/// or a reading. Throws as light_output does.
std::optional<Interval> share_of_claim_by_readings(const LightHistory& history, base::Instant until,
                                                   const LightOutputSettings& settings = {});

/// What the charts and the battery say of it, nothing of the estimate. `starts`, of the series in their order: from
/// where run_alarms_from goes on, earlier readings may have been left out; series that come behind them are gone
/// through from their first.
LightOutput charted_output(const LightHistory& history, base::Instant now, std::span<const ChartsStart> starts = {},
                           const LightOutputSettings& settings = {});

/// The same without the estimate: today's output, its share of the claim, its course, what is shown of it; days since.
LightOutput recorded_output(const LightHistory& history, base::Instant now, const LightOutputSettings& settings = {});

/// A light's line kept, so that a page of many lights does not go through all their readings again: made anew when
/// something is recorded of this light, asked as time goes on.
class FollowedLight {
 public:
  /// What is known up to `until`. Throws as light_output does.
  FollowedLight(const LightHistory& history, base::Instant until, const LightOutputSettings& settings = {});
  /// The same from what recorded_output says at `until`.
  FollowedLight(std::optional<double> claimed_mw_cm2, const LightOutput& output, base::Instant until,
                const LightOutputSettings& settings = {});
  /// To the bit as light_output says it, where nothing was recorded between `until` and `now`, nor an entry for a later
  /// day; before `until`, as at `until`.
  [[nodiscard]] LightToday at(base::Instant now, std::optional<double> need_mw_cm2 = std::nullopt) const;
  /// What time alone does not change: charts, battery, cleaning, what is shown of its output.
  [[nodiscard]] const LightToday& recorded() const { return at_until_; }
  /// When it falls below a need, as light_output has it, looked at from `now` on; nothing where no reading counts.
  [[nodiscard]] std::optional<FallsBelow> falls_below(base::Instant now, double need_mw_cm2) const;

 private:
  OutputEstimate estimate_;
  LightToday at_until_;
  std::optional<base::Instant> last_reading_;
  std::optional<double> claimed_mw_cm2_;
  base::Instant until_;
  int forecast_days_;
};

/// The first part of it alone: what is known, for OutputEstimate.
OutputKnown output_known(const LightHistory& history, const SeriesSplit& split, const std::vector<SeriesAlarms>& alarms,
                         const LightOutputSettings& settings = {});

}  // namespace throughcure::fleet
