// What a light gave on the days of a look-back: smoothed between its last good check and the failure, as a step and as
// a decline, never the failing value itself.
#pragma once

#include <optional>
#include <vector>

#include "throughcure/desk/light_page.hpp"
#include "throughcure/desk/look_backs.hpp"
#include "throughcure/fleet/smoothed_output.hpp"

namespace throughcure::desk {

/// Output on one instant, on the logarithm [ln mW/cm2].
struct OutputThen {
  double ln_mean = 0;
  double ln_sd = 0;
  fleet::OutputSpread spread;
};

/// Answers for any instant of the look-back's span.
class LookBackOutput {
 public:
  /// Without a good check before the failure there is nothing to smooth between: the estimate of that day stands for
  /// it.
  LookBackOutput(const LightView& view, const Span& span);

  [[nodiscard]] OutputThen at(base::Instant when) const;
  /// Chance that the output was below that then [0..1].
  [[nodiscard]] double chance_below(double limit_mw_cm2, base::Instant when) const;
  /// Probability that it was a step rather than a gradual decline; none where nothing was smoothed.
  [[nodiscard]] std::optional<double> step_weight() const;

 private:
  /// Of the smoothed courses.
  [[nodiscard]] std::size_t day_of(base::Instant when) const;
  fleet::OutputKnown known_;
  Span span_;
  std::optional<fleet::SmoothedOutput> smoothed_;
};

}  // namespace throughcure::desk
