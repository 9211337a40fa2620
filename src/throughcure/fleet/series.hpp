// A light's readings, parted into series of such as may be compared: same tip, same radiometer, same mode.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "throughcure/fleet/light_history.hpp"

namespace throughcure::fleet {

/// Kinds: "common practice, no source" for the baseline; "from memory" for the battery; the barrier that nothing is
/// known of from reference/barriers.toml: published losses of smooth ones are 4 to 16 %, wrinkled ones up to 28 %.
struct SeriesSettings {
  std::size_t baseline_of = 1;  ///< mean of how many readings; 1: the first accepted one
  double battery_low = 0.3;     ///< a level below it [0..1] does not count
  BarrierFactor unknown_barrier{.passes = 0.90, .sd = 0.06};
};

/// Why a reading does not count.
enum class NotCounted : std::uint8_t {
  kBeforeCleaning,
  kTipNotClean,
  kBarrierNotSmooth,  ///< what a seam or a wrinkle costs is not known
  kLowBattery,
  kNothingShown,  ///< not above 0: no share of anything
  kUnknownPart,   ///< its tip or radiometer is not in the history
};

/// "before_cleaning", "tip_not_clean", ...: the word in JSON.
constexpr std::string_view word(NotCounted why) {
  switch (why) {
    case NotCounted::kBeforeCleaning:
      return "before_cleaning";
    case NotCounted::kTipNotClean:
      return "tip_not_clean";
    case NotCounted::kBarrierNotSmooth:
      return "barrier_not_smooth";
    case NotCounted::kLowBattery:
      return "low_battery";
    case NotCounted::kNothingShown:
      return "nothing_shown";
    case NotCounted::kUnknownPart:
      return "unknown_part";
  }
  return "";
}

/// None where it counts. The first reason in the order of NotCounted, but for parts unknown and nothing shown, which
/// come before.
std::optional<NotCounted> why_not_counted(const LightHistory& history, const LightReading& reading,
                                          const SeriesSettings& settings = {});

/// Whether a barrier was on with a seam or a wrinkle over the tip: no share is known that it lets through.
constexpr bool barrier_not_smooth(const LightReading& reading) {
  return reading.barrier_on && reading.barrier_smooth == false;
}

/// What a reading with a barrier on is divided by; exactly 1 without one.
BarrierFactor barrier_of(const LightReading& reading, const SeriesSettings& settings = {});

struct SeriesPoint {
  std::size_t reading = 0;  ///< of LightHistory::readings
  base::ReadingId id{};
  base::Instant at{};
  double bare_mw_cm2 = 0;   ///< as it would have been shown without the barrier
  double share = 0;         ///< of the baseline
  bool barrier_on = false;  ///< converted: the barrier's factor is in it
  double ln_factor_sd = 0;  ///< of the conversions, on the logarithm; the same error in every point converted alike
};

struct Series {
  std::size_t tip = 0;
  std::size_t radiometer = 0;
  std::size_t mode = 0;
  double baseline_mw_cm2 = 0;         ///< without a barrier
  std::size_t baseline_of = 0;        ///< of how many readings; fewer than wanted while there are no more
  std::vector<SeriesPoint> points{};  ///< by time, then by id; never empty
  double joined_factor = 1;  ///< what `radiometer` shows times what the first one shows, once series are joined
  double joined_ln_sd = 0;   ///< of ln joined_factor
  std::vector<std::size_t> came_in{};  ///< where in `points` those of another radiometer begin
};

struct Uncounted {
  std::size_t reading = 0;  ///< of LightHistory::readings
  base::ReadingId id{};
  NotCounted why = NotCounted::kTipNotClean;
  std::optional<std::size_t> series{};  ///< that it would be in if it counted; none where there is none of its parts
};

struct SeriesSplit {
  std::vector<Series> series{};        ///< by their first point
  std::vector<Uncounted> uncounted{};  ///< by time
};

/// Readings after `now` are not looked at. A reading that comes back to a tip and radiometer goes on in their series; a
/// replaced tip starts a new one even where it bears the old number. A repair does not, but for the one that made the
/// light fit to be accepted: what it gained is to be seen against the baseline.
SeriesSplit split_series(const LightHistory& history, base::Instant now, const SeriesSettings& settings = {});

/// Indices of the readings up to `now`, by time, then by id.
std::vector<std::size_t> by_time(std::span<const LightReading> readings, base::Instant now);

}  // namespace throughcure::fleet
