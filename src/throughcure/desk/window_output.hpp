// What a light gave between its last good check and a failure: smoothed, as a step and as a decline, never the failing
// value itself.
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

/// One day of the course as it is drawn [mW/cm2]: as the radiometer of the limit shows it.
struct CoursePoint {
  base::Instant at{};
  fleet::OutputSpread output;
  std::optional<double> step{};  ///< the middle of it, if it was a step in the middle of StepTime; none: not smoothed
  std::optional<double> decline{};  ///< likewise, if it was a decline
};

/// When the step came, if it was one: with a chance of 10 %, 50 % and 90 % by then.
struct StepTime {
  base::Instant early{};
  base::Instant middle{};
  base::Instant late{};
};

/// Answers for any instant of the span: one that lies between two smoothed days is between what they were. What cured
/// is the radiant exitance; whether a check would have failed hangs on what its radiometer shows of it, which is known
/// better.
class WindowOutput {
 public:
  /// Without a good check before the failure there is nothing to smooth between: the estimate of that day stands for
  /// it. `shown`: how the series shows it that the limit is told by; none: the exitance itself.
  WindowOutput(const LightView& view, const Span& span, std::vector<fleet::ShownFrom> shown);

  /// Of the radiant exitance.
  [[nodiscard]] OutputThen at(base::Instant when) const;
  /// Of the radiant exitance: a step that had not come by then, a step that had, a decline; one alone where nothing was
  /// smoothed.
  [[nodiscard]] std::vector<OutputAlternative> alternatives(base::Instant when) const;
  /// 10 %, 50 % and 90 % of the mixture of them [mW/cm2], and its sd on the logarithm.
  [[nodiscard]] fleet::OutputSpread spread(base::Instant when) const;
  /// Chance that less than that was to be shown of the output then [0..1].
  [[nodiscard]] double chance_below(double shown_mw_cm2, base::Instant when) const;
  /// Probability that it was a step rather than a gradual decline; none where nothing was smoothed.
  [[nodiscard]] std::optional<double> step_weight() const;
  [[nodiscard]] std::optional<StepTime> step_time() const;
  [[nodiscard]] const Span& span() const { return span_; }
  /// Every day of the span or, where it is long, some 200 of them; without a good check from `otherwise` on. The step
  /// is drawn as one.
  [[nodiscard]] std::vector<CoursePoint> course(base::Instant otherwise) const;

 private:
  /// Among the smoothed days: the one at or after an instant, 1 or later, and how far it is there from the day before.
  struct Place {
    std::size_t day = 1;
    double share = 0;  ///< [0..1]
  };
  [[nodiscard]] Place place_of(base::Instant when) const;
  [[nodiscard]] static std::vector<OutputAlternative> alternatives_at(const fleet::SmoothedOutput& all,
                                                                      const Place& place);
  [[nodiscard]] std::vector<OutputAlternative> as_shown(base::Instant when) const;
  /// Which of `as_shown_from_` is of what is shown then.
  [[nodiscard]] std::size_t shown_at(base::Instant when) const;
  [[nodiscard]] base::Instant instant_of(std::size_t day) const;
  /// Only where there is a smoother.
  [[nodiscard]] const fleet::SmoothedOutput& smoothed() const;
  /// The first day by whose end the step had come with that chance, if it was one.
  [[nodiscard]] std::size_t day_of_step(double chance) const;
  fleet::OutputKnown known_;
  Span span_;
  std::vector<fleet::ShownFrom> shown_;
  std::optional<fleet::OutputSmoother> smoother_;  ///< of the radiant exitance
  std::vector<fleet::OutputSmoother>
      as_shown_from_;  ///< with it, of each of `shown_`; of the exitance where it is empty
};

}  // namespace throughcure::desk
