#include "throughcure/desk/window_output.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>

#include "throughcure/base/given.hpp"
#include "throughcure/base/problem.hpp"

namespace throughcure::desk {

namespace {

constexpr std::chrono::hours kDay{24};
constexpr std::size_t kMostPoints = 200;

double normal_below(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

double chance_below(double ln_output, const std::vector<OutputAlternative>& alternatives) {
  double chance = 0;
  for (const OutputAlternative& one : alternatives) {
    chance += one.weight * normal_below((ln_output - one.ln_mean) / one.ln_sd);
  }
  return chance;
}

/// The ln output that the mixture is below with this chance, by halving what holds it.
double quantile(double chance, const std::vector<OutputAlternative>& alternatives) {
  constexpr double far = 8;  // sd: nothing lies beyond
  constexpr int halvings = 50;
  double low = std::numeric_limits<double>::infinity();
  double high = -low;
  for (const OutputAlternative& one : alternatives) {
    low = std::min(low, one.ln_mean - far * one.ln_sd);
    high = std::max(high, one.ln_mean + far * one.ln_sd);
  }
  for (int i = 0; i < halvings; ++i) {
    const double middle = (low + high) / 2;
    (chance_below(middle, alternatives) < chance ? low : high) = middle;
  }
  return (low + high) / 2;
}

/// Of the mixture.
OutputThen over_all(const std::vector<OutputAlternative>& all) {
  double mean = 0;
  for (const OutputAlternative& one : all) mean += one.weight * one.ln_mean;
  double variance = 0;
  for (const OutputAlternative& one : all) {
    const double off = one.ln_mean - mean;
    variance += one.weight * (one.ln_sd * one.ln_sd + off * off);
  }
  return {.ln_mean = mean, .ln_sd = std::sqrt(variance)};
}

fleet::OutputSpread spread_of(const std::vector<OutputAlternative>& all, double ln_sd) {
  return {.p10 = std::exp(quantile(0.1, all)),
          .p50 = std::exp(quantile(0.5, all)),
          .p90 = std::exp(quantile(0.9, all)),
          .ln_sd = ln_sd};
}

}  // namespace

WindowOutput::WindowOutput(const LightView& view, const Span& span, std::vector<fleet::ShownFrom> shown)
    : span_(span), shown_(std::move(shown)) {
  // The change is what is asked here: alarms of the charts are no steps, what was done to the light is.
  known_ = fleet::output_known(view.record.history, view.output.split, {});
  if (!span_.from || span_.until <= *span_.from) return;
  smoother_.emplace(known_, *span_.from, span_.until);
  for (const fleet::ShownFrom& one : shown_) {
    as_shown_from_.emplace_back(known_, *span_.from, span_.until, fleet::SmoothingSettings{}, one.as);
  }
  if (shown_.empty()) as_shown_from_.emplace_back(known_, *span_.from, span_.until);
}

WindowOutput::Place WindowOutput::place_of(base::Instant when) const {
  const fleet::SmoothedOutput& all = smoothed();
  const std::chrono::duration<double> spacing = kDay * all.spacing_days;
  const double days = std::clamp((when - base::given(span_.from)) / spacing, 0.0, static_cast<double>(all.last_day));
  const double day = std::max(1.0, std::ceil(days));
  return {.day = static_cast<std::size_t>(day), .share = days - (day - 1)};
}

OutputThen WindowOutput::at(base::Instant when) const {
  if (!smoother_) {
    const fleet::OutputSpread spread = fleet::OutputEstimate(known_, when).at(when);
    return {.ln_mean = std::log(spread.p50), .ln_sd = spread.ln_sd};
  }
  return over_all(alternatives(when));
}

const fleet::SmoothedOutput& WindowOutput::smoothed() const {
  if (!smoother_) throw base::Failure("the light has no good check to smooth from");
  return smoother_->smoothed();
}

std::vector<OutputAlternative> WindowOutput::alternatives_at(const fleet::SmoothedOutput& all, const Place& place) {
  const auto between = [&](const std::vector<double>& days, std::size_t from, std::size_t to) {
    return days[from] + place.share * (days[to] - days[from]);
  };
  std::vector<OutputAlternative> found;
  const auto add = [&](double weight, const fleet::SmoothedDays& days, std::size_t from, std::size_t to) {
    if (!(weight > 0)) return;
    found.push_back(
        {.weight = weight, .ln_mean = between(days.ln_mean, from, to), .ln_sd = between(days.ln_sd, from, to)});
  };
  // A step comes at any time of its day alike. On the last day none is still to come, on the first none has.
  const std::size_t before = place.day - 1;
  const double come = between(all.step_come, before, place.day);
  add(all.step_weight * (1 - come), all.before_step, before, std::min(place.day, all.last_day - 1));
  add(all.step_weight * come, all.after_step, std::max<std::size_t>(before, 1), place.day);
  add(1 - all.step_weight, all.gradual, before, place.day);
  return found;
}

std::vector<OutputAlternative> WindowOutput::alternatives(base::Instant when) const {
  if (smoother_) return alternatives_at(smoother_->smoothed(), place_of(when));
  const OutputThen then = at(when);
  return {{.weight = 1, .ln_mean = then.ln_mean, .ln_sd = then.ln_sd}};
}

std::size_t WindowOutput::shown_at(base::Instant when) const {
  const auto next = std::ranges::upper_bound(shown_, when, {}, &fleet::ShownFrom::from);
  const auto begun = static_cast<std::size_t>(next - shown_.begin());
  return begun == 0 ? 0 : begun - 1;
}

std::vector<OutputAlternative> WindowOutput::as_shown(base::Instant when) const {
  if (smoother_) return alternatives_at(as_shown_from_[shown_at(when)].smoothed(), place_of(when));
  const fleet::OutputSpread then = fleet::OutputEstimate(known_, when).at(when, fleet::as_shown_at(shown_, when));
  return {{.weight = 1, .ln_mean = std::log(then.p50), .ln_sd = then.ln_sd}};
}

fleet::OutputSpread WindowOutput::spread(base::Instant when) const {
  return spread_of(alternatives(when), at(when).ln_sd);
}

double WindowOutput::chance_below(double shown_mw_cm2, base::Instant when) const {
  return desk::chance_below(std::log(shown_mw_cm2), as_shown(when));
}

std::optional<double> WindowOutput::step_weight() const {
  if (!smoother_) return std::nullopt;
  return smoother_->smoothed().step_weight;
}

base::Instant WindowOutput::instant_of(std::size_t day) const {
  const std::chrono::duration<double> since = kDay * smoothed().spacing_days * static_cast<double>(day);
  return std::min(span_.until, base::given(span_.from) + std::chrono::round<std::chrono::microseconds>(since));
}

std::size_t WindowOutput::day_of_step(double chance) const {
  const std::vector<double>& come = smoothed().step_come;
  const auto at = std::ranges::lower_bound(come, chance);
  return std::max<std::size_t>(1, std::min(static_cast<std::size_t>(at - come.begin()), come.size() - 1));
}

std::optional<StepTime> WindowOutput::step_time() const {
  if (!smoother_) return std::nullopt;
  return StepTime{.early = instant_of(day_of_step(0.1)),
                  .middle = instant_of(day_of_step(0.5)),
                  .late = instant_of(day_of_step(0.9))};
}

std::vector<CoursePoint> WindowOutput::course(base::Instant otherwise) const {
  std::vector<CoursePoint> points;
  if (!smoother_) {
    const base::Instant from = std::min(otherwise, span_.until + -kDay);
    const auto step = std::max<std::chrono::microseconds>(kDay, (span_.until - from) / kMostPoints);
    std::vector<base::Instant> instants;
    for (base::Instant at = from; at < span_.until; at += step) instants.push_back(at);
    instants.push_back(span_.until);
    const auto spreads = fleet::estimates_then(known_, instants, {}, shown_);
    for (std::size_t i = 0; i < instants.size(); ++i) points.push_back({.at = instants[i], .output = spreads[i]});
    return points;
  }
  const std::size_t stepped = day_of_step(0.5);
  std::vector<fleet::SmoothedDays> steps;
  steps.reserve(as_shown_from_.size());
  for (const fleet::OutputSmoother& one : as_shown_from_) steps.push_back(one.given_step_on(stepped));
  const std::size_t last_day = smoothed().last_day;
  const std::size_t stride = last_day / kMostPoints + 1;
  for (std::size_t day = 0; day <= last_day; ++day) {
    const bool beside_step = day == stepped || day + 1 == stepped;
    if (day % stride != 0 && day != last_day && !beside_step) continue;
    const std::size_t shown = shown_at(instant_of(day));
    const fleet::SmoothedOutput& all = as_shown_from_[shown].smoothed();
    const fleet::SmoothedDays& step = steps[shown];
    const Place place{.day = std::max<std::size_t>(day, 1), .share = day == 0 ? 0.0 : 1.0};
    points.push_back({.at = instant_of(day),
                      .output = spread_of(alternatives_at(all, place), all.both.ln_sd[day]),
                      .step = std::exp(step.ln_mean[day]),
                      .decline = std::exp(all.gradual.ln_mean[day])});
  }
  return points;
}

}  // namespace throughcure::desk
