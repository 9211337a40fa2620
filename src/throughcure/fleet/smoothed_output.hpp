// What a light gave day by day between its last good check and the one that it failed, with all readings known: as a
// step on a day that is not known, and as a gradual decline. For the look-back.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <vector>

#include "throughcure/fleet/output_estimate.hpp"

namespace throughcure::fleet {

/// Kind: "from memory"; published losses by dirt, damage and wear lie between 8 and 62 %, -0.08 to -0.97 of ln output.
struct SmoothingSettings {
  OutputModel model{};
  double loss_mean = -0.4;   ///< of the ln output over the whole window, before a failing reading is seen
  double loss_sd = 0.35;     ///< of it
  double step_chance = 0.5;  ///< before any reading: a step rather than a gradual decline
};

/// Of ln(output in mW/cm2), one for each day: the radiant exitance, or what is shown of it.
struct SmoothedDays {
  std::vector<double> ln_mean;
  std::vector<double> ln_sd;
};

/// Day i is i times `spacing_days` after the last good check, 0 to `last_day`, which is the day of the failed one:
/// whole days, or shorter ones in a window of about a week or less, so that what was cured early in it is told from the
/// rest.
struct SmoothedOutput {
  std::size_t last_day = 0;
  double spacing_days = 1;
  double step_weight = 0;         ///< probability that it was a step; of the decline the rest
  std::vector<double> step_day;   ///< given a step: probability that it came on day i; nought for day 0
  SmoothedDays step;              ///< given a step, over its days
  SmoothedDays gradual;           ///< given a decline
  std::vector<double> step_come;  ///< given a step: probability that it had come by day i
  SmoothedDays before_step;       ///< given a step that had not come by then; on the last day as `step`
  SmoothedDays after_step;        ///< given a step that had come by then; on day 0 as `step`
  SmoothedDays both;              ///< over both: mean and sd of a mixture that is not a Gaussian
};

/// The level follows OutputModel, started from all that was known at the last good check, plus one loss D ~
/// N(loss_mean, loss_sd^2): for a step on day d whole from day d on (and for every reading after day d - 1), for a
/// decline D t / T, with T the window. Given the alternative and the day everything is Gaussian and solved exactly:
/// with V the covariance of the window's readings, a their means and h what they see of D, their likelihood is N(a + h
/// loss_mean, V + loss_sd^2 h h'), and the weights are these likelihoods times the priors (all days alike). Source:
/// conditioning of a joint Gaussian, Rasmussen and Williams 2006, A.2 and 2.7 (from memory, tested against the plain
/// solution).
class OutputSmoother {
 public:
  /// `known` with all readings and with what was done to the light as steps, but without steps for alarms within the
  /// window: the change is what is asked here (output_known with no alarms). Readings and steps after `failed` are not
  /// looked at. With `as`, all is of what is shown of the output: the same alternatives and days, as likely, known
  /// better. Throws base::InputError as OutputEstimate does, and base::Failure where `failed` is not after
  /// `last_good`.
  OutputSmoother(const OutputKnown& known, base::Instant last_good, base::Instant failed,
                 const SmoothingSettings& settings = {}, const std::optional<AsShown>& as = {});
  ~OutputSmoother();
  OutputSmoother(OutputSmoother&&) noexcept;
  OutputSmoother& operator=(OutputSmoother&&) noexcept;
  OutputSmoother(const OutputSmoother&) = delete;
  OutputSmoother& operator=(const OutputSmoother&) = delete;

  [[nodiscard]] const SmoothedOutput& smoothed() const;
  /// Given that the step came on that day, 1 to last_day.
  [[nodiscard]] SmoothedDays given_step_on(std::size_t day) const;
  /// Log likelihood of the window's readings given that, and given a decline.
  [[nodiscard]] double ln_likelihood_of_step_on(std::size_t day) const;
  [[nodiscard]] double ln_likelihood_of_decline() const;
  /// Whole courses of ln output, one value a day, drawn from the mixture of both: draw i of a seed is the same whatever
  /// their number.
  [[nodiscard]] std::vector<std::vector<double>> draws(std::uint64_t seed, std::size_t count) const;

 private:
  struct Window;
  std::unique_ptr<Window> window_;
};

}  // namespace throughcure::fleet
