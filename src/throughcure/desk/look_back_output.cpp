#include "throughcure/desk/look_back_output.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace throughcure::desk {

namespace {

constexpr std::chrono::hours kDay{24};
constexpr double kTenth = 1.2815515655446004;  // the standard normal value above which a tenth lies

OutputThen of(double ln_mean, double ln_sd) {
  return {.ln_mean = ln_mean,
          .ln_sd = ln_sd,
          .spread = {.p10 = std::exp(ln_mean - kTenth * ln_sd),
                     .p50 = std::exp(ln_mean),
                     .p90 = std::exp(ln_mean + kTenth * ln_sd),
                     .ln_sd = ln_sd}};
}

double normal_below(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

}  // namespace

LookBackOutput::LookBackOutput(const LightView& view, const Span& span) : span_(span) {
  // The change is what is asked here: alarms of the charts are no steps, what was done to the light is.
  known_ = fleet::output_known(view.record.history, view.output.split, {});
  if (span_.from && span_.until - *span_.from >= kDay) {
    smoothed_ = fleet::OutputSmoother(known_, *span_.from, span_.until).smoothed();
  }
}

std::size_t LookBackOutput::day_of(base::Instant when) const {
  const auto days = std::max<std::int64_t>(0, (when - span_.from.value_or(when)) / kDay);
  return std::min(static_cast<std::size_t>(days), smoothed_ ? smoothed_->last_day : 0);
}

OutputThen LookBackOutput::at(base::Instant when) const {
  if (!smoothed_) {
    const fleet::OutputSpread spread = fleet::OutputEstimate(known_, when).at(when);
    return of(std::log(spread.p50), spread.ln_sd);
  }
  const std::size_t day = day_of(when);
  return of(smoothed_->both.ln_mean[day], smoothed_->both.ln_sd[day]);
}

double LookBackOutput::chance_below(double limit_mw_cm2, base::Instant when) const {
  const double ln_limit = std::log(limit_mw_cm2);
  if (!smoothed_) {
    const OutputThen then = at(when);
    return normal_below((ln_limit - then.ln_mean) / then.ln_sd);
  }
  const std::size_t day = day_of(when);
  const auto below = [&](const fleet::SmoothedDays& course) {
    return normal_below((ln_limit - course.ln_mean[day]) / course.ln_sd[day]);
  };
  return smoothed_->step_weight * below(smoothed_->step) + (1 - smoothed_->step_weight) * below(smoothed_->gradual);
}

std::optional<double> LookBackOutput::step_weight() const {
  if (!smoothed_) return std::nullopt;
  return smoothed_->step_weight;
}

}  // namespace throughcure::desk
