// What a light gives today and later, from everything that is known of it: its maker's claim, relative readings, what
// was done to it, and the time since. A state-space estimate, not the last number.
#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "throughcure/base/instant.hpp"

namespace throughcure::fleet {

/// How outputs change and readings scatter, all on natural logarithms (docs/charts.md).
///   d level = slope dt + level noise;  the slope wanders about its mean and forgets itself in `slope_memory_days`;
///   a reading is level + its radiometer's constant error + scatter.
/// Defaults: kind "from memory" but for the radiometers' (reference, hand radiometers: about 20 % absolute).
struct OutputModel {
  double claim_sd = 0.15;                ///< of the true output at acceptance about the maker's claim
  double radiometer_sd = 0.20;           ///< of a radiometer's constant error
  double reading_sd = 0.03;              ///< scatter of one reading, same radiometer and tip
  double level_sd_per_root_day = 0.002;  ///< wandering of the level
  double slope_per_day = -0.03 / 365;    ///< mean: what lights lose
  /// Of the slope about it. Cleaning gains 8 % on the mean (published, Open Dent J 2019, 13:196): gathered in some four
  /// months (from memory), that is 0.25 a year.
  double slope_sd_per_day = 0.25 / 365;
  double slope_memory_days = 365;
};

struct OutputReading {
  base::Instant at{};
  std::size_t radiometer = 0;  ///< any numbering of those used; or of OutputKnown::errors, where there are any
  double shown_mw_cm2 = 0;     ///< > 0
  double ln_factor = 0;        ///< what the reading was multiplied by, barrier on: ln of what it passes
  double ln_factor_sd = 0;
};

/// Something done to the light (a new tip, a repair), or a change that a chart has dated: the level may have jumped.
/// Without a step a sudden fall is taken for scatter at first, and followed over some checks.
struct OutputStep {
  base::Instant at{};
  double sd = 0.1;  ///< of the jump, on the logarithm
};

/// Part of a constant error of readings, on the logarithm. Where two kinds of readings name the same part, it is one
/// and the same error: the radiometer's own, say, with two tips.
struct ErrorPart {
  std::size_t part = 0;
  double sd = 0;
};

struct OutputKnown {
  base::Instant accepted_at{};
  double claimed_mw_cm2 = 0;         ///< > 0
  std::optional<double> claim_sd{};  ///< in place of the model's
  /// Of each kind of readings; none at all: one radiometer each, with the model's error.
  std::vector<std::vector<ErrorPart>> errors{};
  std::vector<OutputReading> readings{};
  std::vector<OutputStep> steps{};
};

/// What readings of one kind show of the output without a barrier, in place of the radiant exitance: on the logarithm
/// level + their constant error + `ln_factor`. It is what those readings tell, so it is known far better than the
/// exitance, from which their error must be told.
struct AsShown {
  std::size_t kind = 0;  ///< as OutputReading::radiometer
  double ln_factor = 0;
};

/// The same from an instant on. Readings of one radiometer become another kind where its certificate has run out: what
/// it may be off by since then says nothing of what it showed before.
struct ShownFrom {
  base::Instant from{};
  AsShown as;
};

/// The last one that had begun by then, or the first; none of none. `over_time` by their beginnings.
std::optional<AsShown> as_shown_at(std::span<const ShownFrom> over_time, base::Instant when);

/// Of the output at one instant [mW/cm2].
struct OutputSpread {
  double p10 = 0;
  double p50 = 0;
  double p90 = 0;
  double ln_sd = 0;
};

/// How fast the logarithm of the output changes [1/day].
struct OutputTrend {
  double per_day = 0;
  double sd_per_day = 0;
};

struct OutputState;

/// Knows what is known up to `now` (readings and steps after it are not looked at), and says what follows.
class OutputEstimate {
 public:
  /// In any order. Throws base::InputError when a reading or the claim is not above 0, or a reading was taken before
  /// the light was accepted, or is of a kind that `errors` has not.
  OutputEstimate(const OutputKnown& known, base::Instant now, const OutputModel& model = {});
  ~OutputEstimate();
  OutputEstimate(OutputEstimate&&) noexcept;
  OutputEstimate& operator=(OutputEstimate&&) noexcept;
  OutputEstimate(const OutputEstimate&) = delete;
  OutputEstimate& operator=(const OutputEstimate&) = delete;

  /// The same bits as one made at `now`, where no reading and no step lies between; before its own, as it is.
  [[nodiscard]] OutputEstimate later(base::Instant now) const;

  /// At `now` or later; before it, as at `now`. Here and below of the radiant exitance, or as it is shown; a kind that
  /// is not known has no error.
  [[nodiscard]] OutputSpread at(base::Instant when, const std::optional<AsShown>& as = {}) const;
  /// Chance that the output is below a limit then [0..1].
  [[nodiscard]] double chance_below(double limit_mw_cm2, base::Instant when,
                                    const std::optional<AsShown>& as = {}) const;
  /// The first day on which that chance reaches `chance`; none within `most_days`: slopes forget themselves, so a high
  /// chance may never be reached.
  [[nodiscard]] std::optional<base::Instant> when_below(double limit_mw_cm2, double chance, int most_days = 3650) const;
  /// The same for several chances at once, looking from `from` on.
  [[nodiscard]] std::vector<std::optional<base::Instant>> when_below(base::Instant from, double limit_mw_cm2,
                                                                     std::span<const double> chances,
                                                                     int most_days = 3650,
                                                                     const std::optional<AsShown>& as = {}) const;
  /// At `now` or later.
  [[nodiscard]] OutputTrend trend(base::Instant when) const;
  /// What readings of that kind show more than they should by their constant error, on the logarithm: the middle of
  /// what is known of it; 0 for a kind that is not known.
  [[nodiscard]] double ln_error(std::size_t kind) const;

 private:
  OutputEstimate(const OutputState& last, base::Instant now, const OutputModel& model);
  std::unique_ptr<OutputState> last_;  ///< after the last reading or step
  std::unique_ptr<OutputState> state_;
  OutputModel model_;
};

/// What could be said of the output at each of these instants with what was known by then, as OutputEstimate(known,
/// when).at(when, as_shown_at(shown, when)) says it; in one pass over the readings. `instants` in order. Throws as
/// OutputEstimate does.
std::vector<OutputSpread> estimates_then(const OutputKnown& known, std::span<const base::Instant> instants,
                                         const OutputModel& model = {}, std::span<const ShownFrom> shown = {});

}  // namespace throughcure::fleet
