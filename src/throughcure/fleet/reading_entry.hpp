// One reading of a light's output as it was taken: with what, where, how, and when it arrived.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>

#include "throughcure/base/record.hpp"
#include "throughcure/fleet/check_verdict.hpp"

namespace throughcure::fleet {

/// What a reading was taken for.
enum class Purpose : std::uint8_t { kCheck, kAcceptance, kBeforeCleaning, kAfterCleaning, kSideBySide, kLowBattery };

/// A check is a reading of the purpose "check" with a look at tip, barrier, vents and battery: what was not looked at
/// is none. What it was told stays as it was, whatever is corrected and whichever limits hold later; it is none of
/// readings that were brought in from elsewhere, or taken before that was kept.
struct ReadingEntry {
  using Kind = base::ReadingKind;
  base::LightId light;
  base::TipId tip;
  base::RadiometerId radiometer;
  base::RoomId room;
  base::PersonId taken_by;
  base::Instant taken_at{};    ///< by the clock of the device it was taken with
  base::Instant arrived_at{};  ///< by the server's: a phone without a connection sends later
  std::string mode;
  double shown_mw_cm2 = 0;  ///< what the radiometer showed: relative output, never irradiance at the paste
  std::optional<double> second_of_press;
  bool barrier_on = false;
  bool tip_clean = true;
  std::optional<double> battery;  ///< level [0..1]
  std::optional<std::string> note;
  Purpose purpose = Purpose::kCheck;
  std::optional<base::BarrierId> barrier{};  ///< which one was on
  std::optional<bool> tip_whole{};           ///< no chip, no crack, nothing stuck to it
  std::optional<bool> barrier_smooth{};      ///< snug, no seam across the tip
  std::optional<bool> vents_clear{};
  std::optional<bool> disinfected{};             ///< as the light's maker says
  std::optional<CheckVerdict> told{};            ///< what the check came to when it was taken in
  std::optional<double> told_share{};            ///< of its baseline, as told; none where it did not count
  std::optional<double> told_baseline_mw_cm2{};  ///< that it was compared with
  std::optional<std::string> told_limits{};      ///< that it was judged by: the policy's names, each with its number
  static constexpr auto fields() {
    using R = ReadingEntry;
    return std::tuple{base::field("light", &R::light),
                      base::field("tip", &R::tip),
                      base::field("radiometer", &R::radiometer),
                      base::field("room", &R::room),
                      base::field("taken_by", &R::taken_by),
                      base::field("taken_at", &R::taken_at),
                      base::field("arrived_at", &R::arrived_at),
                      base::field("mode", &R::mode),
                      base::field("shown_mw_cm2", &R::shown_mw_cm2),
                      base::field("second_of_press", &R::second_of_press),
                      base::field("barrier_on", &R::barrier_on),
                      base::field("tip_clean", &R::tip_clean),
                      base::field("battery", &R::battery),
                      base::field("note", &R::note, base::Privacy::kPrivate),
                      base::field("purpose", &R::purpose),
                      base::field("barrier", &R::barrier),
                      base::field("tip_whole", &R::tip_whole),
                      base::field("barrier_smooth", &R::barrier_smooth),
                      base::field("vents_clear", &R::vents_clear),
                      base::field("disinfected", &R::disinfected),
                      base::field("told", &R::told),
                      base::field("told_share", &R::told_share),
                      base::field("told_baseline_mw_cm2", &R::told_baseline_mw_cm2),
                      base::field("told_limits", &R::told_limits)};
  }
  friend bool operator==(const ReadingEntry&, const ReadingEntry&) = default;
};

}  // namespace throughcure::fleet

template <>
struct throughcure::base::Words<throughcure::fleet::Purpose> {
  static constexpr std::array<std::string_view, 6> words = {"check",          "acceptance",   "before_cleaning",
                                                            "after_cleaning", "side_by_side", "low_battery"};
};
