// What a light gave on the days of a look-back: smoothed between its last good check and the failure, as a step and as
// a decline, never the failing value itself.
#pragma once

#include <optional>
#include <vector>

#include "throughcure/desk/light_page.hpp"
#include "throughcure/desk/look_backs.hpp"
#include "throughcure/fleet/smoothed_output.hpp"

namespace throughcure::desk {

/// What the light may have given at one instant, with how likely it is that this was so: ln output is a Gaussian.
struct OutputAlternative {
  double weight = 1;   ///< of all alternatives 1 together
  double ln_mean = 0;  ///< [ln mW/cm2]
  double ln_sd = 0;
};

/// Mean and spread over all alternatives together: they tell one estimate from another.
struct OutputThen {
  double ln_mean = 0;  ///< [ln mW/cm2]
  double ln_sd = 0;
};

/// Answers for any instant of the look-back's span.
class LookBackOutput {
 public:
  /// Without a good check before the failure there is nothing to smooth between: the estimate of that day stands for
  /// it.
  LookBackOutput(const LightView& view, const Span& span);

  [[nodiscard]] OutputThen at(base::Instant when) const;
  /// A step that had not come by then, a step that had, a decline; one alone where nothing was smoothed.
  [[nodiscard]] std::vector<OutputAlternative> alternatives(base::Instant when) const;
  /// 10 %, 50 % and 90 % of the mixture of them [mW/cm2], and its sd on the logarithm.
  [[nodiscard]] fleet::OutputSpread spread(base::Instant when) const;
  /// Chance that the output was below that then [0..1].
  [[nodiscard]] double chance_below(double limit_mw_cm2, base::Instant when) const;
  /// Probability that it was a step rather than a gradual decline; none where nothing was smoothed.
  [[nodiscard]] std::optional<double> step_weight() const;

 private:
  /// Of the smoothed courses.
  [[nodiscard]] std::size_t day_of(base::Instant when) const;
  fleet::OutputKnown known_;
  Span span_;
  std::optional<fleet::OutputSmoother> smoother_;
};

}  // namespace throughcure::desk
