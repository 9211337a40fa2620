#include "throughcure/fleet/output_estimate.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <string>
#include <tuple>
#include <utility>

#include <boost/math/distributions/normal.hpp>

#include "throughcure/base/problem.hpp"
#include "throughcure/fleet/normal.hpp"
#include "throughcure/fleet/output_state.hpp"

namespace throughcure::fleet {

namespace {

constexpr double kUsPerDay = 86'400e6;
constexpr Eigen::Index kLevel = OutputState::kLevel;
constexpr Eigen::Index kSlope = OutputState::kSlope;
constexpr Eigen::Index kErrors = OutputState::kErrors;

double below(double value, double mean, double sd) {
  if (sd <= 0) return value > mean ? 1 : 0;
  return boost::math::cdf(boost::math::normal(mean, sd), value);
}

void check(const OutputKnown& known) {
  base::Problems problems;
  const auto add = [&](std::string field, std::string what, std::string remedy) {
    problems.push_back({.file = {}, .field = std::move(field), .what = std::move(what), .remedy = std::move(remedy)});
  };
  if (!(known.claimed_mw_cm2 > 0)) {
    add("claimed_mw_cm2", "the claim is not above 0", "Give the radiant exitance that the maker claims");
  }
  for (std::size_t i = 0; i < known.readings.size(); ++i) {
    const std::string field = "reading[" + std::to_string(i + 1) + "]";
    if (!(known.readings[i].shown_mw_cm2 > 0)) {
      add(field, "it is not above 0", "Leave out what was no reading; a light that gives nothing is withdrawn");
    }
    if (known.readings[i].at < known.accepted_at) {
      add(field, "it was taken before the light was accepted", "Correct one of the two dates");
    }
    if (!known.errors.empty() && known.readings[i].radiometer >= known.errors.size()) {
      add(field, "no error is given for its radiometer", "Give one for each");
    }
  }
  base::refuse_if_any(problems);
}

OutputSpread spread_of(const OutputState& state, base::Instant when, const OutputModel& model,
                       const std::optional<AsShown>& as) {
  const auto [mean, sd] = state.output_after(days_between(state.at, when), model, as);
  const double to_10 = boost::math::quantile(boost::math::normal(), 0.9) * sd;
  return {std::exp(mean - to_10), std::exp(mean), std::exp(mean + to_10), sd};
}

/// Covariance of two errors by the parts that they share.
double together(const std::vector<ErrorPart>& a, const std::vector<ErrorPart>& b) {
  double sum = 0;
  for (const ErrorPart& of_a : a) {
    for (const ErrorPart& of_b : b) {
      if (of_a.part == of_b.part) sum += of_a.sd * of_b.sd;
    }
  }
  return sum;
}

}  // namespace

std::optional<AsShown> as_shown_at(std::span<const ShownFrom> over_time, base::Instant when) {
  if (over_time.empty()) return std::nullopt;
  const auto next = std::ranges::upper_bound(over_time, when, {}, &ShownFrom::from);
  return next == over_time.begin() ? over_time.front().as : std::prev(next)->as;
}

double days_between(base::Instant from, base::Instant to) { return static_cast<double>(to.us - from.us) / kUsPerDay; }

Passage::Passage(double days, const OutputModel& model) : drift(model.slope_per_day * days) {
  const double rate = 1 / model.slope_memory_days;
  const double variance = model.slope_sd_per_day * model.slope_sd_per_day;
  keeps = std::exp(-rate * days);
  gains = (1 - keeps) / rate;
  slope_variance = variance * (1 - keeps * keeps);
  together = variance / rate * (1 - keeps) * (1 - keeps);
  level_variance = variance / (rate * rate) * (2 * rate * days - 3 + 4 * keeps - keeps * keeps) +
                   model.level_sd_per_root_day * model.level_sd_per_root_day * days;
}

void OutputState::pass(double days, const OutputModel& model) {
  if (days <= 0) return;
  const Passage passage(days, model);
  mean(kLevel) += passage.gains * mean(kSlope) + passage.drift;
  mean(kSlope) *= passage.keeps;
  // Only rows and columns of level and slope change.
  covariance.row(kLevel) += passage.gains * covariance.row(kSlope);
  covariance.row(kSlope) *= passage.keeps;
  covariance.col(kLevel) += passage.gains * covariance.col(kSlope);
  covariance.col(kSlope) *= passage.keeps;
  covariance(kSlope, kSlope) += passage.slope_variance;
  covariance(kLevel, kSlope) += passage.together;
  covariance(kSlope, kLevel) += passage.together;
  covariance(kLevel, kLevel) += passage.level_variance;
}

void OutputState::go_to(base::Instant when, const OutputModel& model) {
  pass(days_between(at, when), model);
  at = std::max(at, when);
}

// One reading is h = level + error. Joseph's form keeps the covariance positive:
// (1 - g h') P (1 - g h')' + r g g' = A + (r g - A h) g' with A = P - g (P h)'.
void OutputState::take(const OutputReading& reading, const OutputModel& model) {
  const Eigen::Index error = kErrors + static_cast<Eigen::Index>(reading.radiometer);
  const double noise = model.reading_sd * model.reading_sd + reading.ln_factor_sd * reading.ln_factor_sd;
  seen_ = covariance.col(kLevel) + covariance.col(error);
  const double spread = seen_(kLevel) + seen_(error) + noise;
  if (spread <= 0) return;
  gain_ = seen_ / spread;
  mean += gain_ * (std::log(reading.shown_mw_cm2) - reading.ln_factor - mean(kLevel) - mean(error));
  covariance.noalias() -= gain_ * seen_.transpose();
  seen_ = noise * gain_ - covariance.col(kLevel) - covariance.col(error);
  covariance.noalias() += seen_ * gain_.transpose();
}

std::optional<Eigen::Index> OutputState::error_of(const std::optional<AsShown>& as) const {
  if (!as) return std::nullopt;
  const Eigen::Index error = kErrors + static_cast<Eigen::Index>(as->kind);
  return error < mean.size() ? std::optional(error) : std::nullopt;
}

std::pair<double, double> OutputState::output_after(double days, const OutputModel& model,
                                                    const std::optional<AsShown>& as) const {
  const Passage passage(std::max(0.0, days), model);
  double ln_mean = mean(kLevel) + passage.gains * mean(kSlope) + passage.drift + (as ? as->ln_factor : 0);
  double variance = covariance(kLevel, kLevel) + 2 * passage.gains * covariance(kLevel, kSlope) +
                    passage.gains * passage.gains * covariance(kSlope, kSlope) + passage.level_variance;
  if (const auto error = error_of(as)) {
    ln_mean += mean(*error);
    variance +=
        2 * (covariance(kLevel, *error) + passage.gains * covariance(kSlope, *error)) + covariance(*error, *error);
  }
  return {ln_mean, std::sqrt(std::max(0.0, variance))};
}

OutputFilter::OutputFilter(const OutputKnown& known, const OutputModel& model)
    : readings_(known.readings), steps_(known.steps), model_(model) {
  check(known);
  // The same bits in whatever order they came.
  const auto key = [](const OutputReading& r) {
    return std::tuple(r.at.us, r.radiometer, r.shown_mw_cm2, r.ln_factor, r.ln_factor_sd);
  };
  if (!std::ranges::is_sorted(readings_, {}, key)) std::ranges::sort(readings_, {}, key);
  std::ranges::sort(steps_, {}, [](const OutputStep& s) { return std::pair(s.at.us, s.sd); });
  // The claim is of the light as it was accepted.
  std::erase_if(steps_, [&](const OutputStep& step) { return step.at < known.accepted_at; });
  std::vector<std::vector<ErrorPart>> errors = known.errors;
  if (errors.empty()) {
    std::size_t radiometers = 0;
    for (const OutputReading& reading : readings_) radiometers = std::max(radiometers, reading.radiometer + 1);
    for (std::size_t i = 0; i < radiometers; ++i) errors.push_back({{.part = i, .sd = model.radiometer_sd}});
  }

  const Eigen::Index size = kErrors + static_cast<Eigen::Index>(errors.size());
  const double claim_sd = known.claim_sd.value_or(model.claim_sd);
  state_.at = known.accepted_at;
  state_.mean = Eigen::VectorXd::Zero(size);
  state_.mean(kLevel) = std::log(known.claimed_mw_cm2);
  state_.covariance = Eigen::MatrixXd::Zero(size, size);
  state_.covariance(kLevel, kLevel) = claim_sd * claim_sd;
  state_.covariance(kSlope, kSlope) = model.slope_sd_per_day * model.slope_sd_per_day;
  for (std::size_t i = 0; i < errors.size(); ++i) {
    for (std::size_t j = 0; j < errors.size(); ++j) {
      state_.covariance(kErrors + static_cast<Eigen::Index>(i), kErrors + static_cast<Eigen::Index>(j)) =
          together(errors[i], errors[j]);
    }
  }
}

void OutputFilter::take_steps_until(base::Instant until) {
  for (; next_step_ < steps_.size() && steps_[next_step_].at <= until; ++next_step_) {
    const OutputStep& step = steps_[next_step_];
    state_.go_to(step.at, model_);
    state_.covariance(kLevel, kLevel) += step.sd * step.sd;
  }
}

void OutputFilter::take_until(base::Instant until) {
  for (; next_reading_ < readings_.size() && readings_[next_reading_].at <= until; ++next_reading_) {
    const OutputReading& reading = readings_[next_reading_];
    take_steps_until(reading.at);
    state_.go_to(reading.at, model_);
    state_.take(reading, model_);
  }
  take_steps_until(until);
}

OutputState filtered_to_last(const OutputKnown& known, base::Instant until, const OutputModel& model) {
  OutputFilter filter(known, model);
  filter.take_until(until);
  return filter.state();
}

OutputState filtered_until(const OutputKnown& known, base::Instant until, const OutputModel& model) {
  OutputState state = filtered_to_last(known, until, model);
  state.go_to(until, model);
  return state;
}

OutputEstimate::OutputEstimate(const OutputKnown& known, base::Instant now, const OutputModel& model)
    : OutputEstimate(filtered_to_last(known, now, model), now, model) {}

OutputEstimate::OutputEstimate(const OutputState& last, base::Instant now, const OutputModel& model)
    : last_(std::make_unique<OutputState>(last)), state_(std::make_unique<OutputState>(last)), model_(model) {
  state_->go_to(now, model_);
}

OutputEstimate OutputEstimate::later(base::Instant now) const { return {*last_, std::max(now, state_->at), model_}; }

OutputEstimate::~OutputEstimate() = default;
OutputEstimate::OutputEstimate(OutputEstimate&&) noexcept = default;
OutputEstimate& OutputEstimate::operator=(OutputEstimate&&) noexcept = default;

OutputSpread OutputEstimate::at(base::Instant when, const std::optional<AsShown>& as) const {
  return spread_of(*state_, when, model_, as);
}

double OutputEstimate::chance_below(double limit_mw_cm2, base::Instant when, const std::optional<AsShown>& as) const {
  const auto [mean, sd] = state_->output_after(days_between(state_->at, when), model_, as);
  return below(std::log(limit_mw_cm2), mean, sd);
}

std::optional<base::Instant> OutputEstimate::when_below(double limit_mw_cm2, double chance, int most_days) const {
  return when_below(state_->at, limit_mw_cm2, std::array{chance}, most_days).front();
}

std::vector<std::optional<base::Instant>> OutputEstimate::when_below(base::Instant from, double limit_mw_cm2,
                                                                     std::span<const double> chances, int most_days,
                                                                     const std::optional<AsShown>& as) const {
  const double limit = std::log(limit_mw_cm2);
  const double gone = std::max(0.0, days_between(state_->at, from));
  std::vector<std::optional<base::Instant>> first(chances.size());
  std::vector<double> sds_above;  // how far the limit lies above the mean where its chance is reached
  sds_above.reserve(chances.size());
  for (const double chance : chances) sds_above.push_back(normal_quantile(chance));
  std::size_t open = chances.size();
  for (int day = 0; day <= most_days && open > 0; ++day) {
    const auto [mean, sd] = state_->output_after(gone + day, model_, as);
    for (std::size_t i = 0; i < chances.size(); ++i) {
      if (first[i] || limit - mean < sds_above[i] * sd) continue;
      first[i] = base::Instant{std::max(from, state_->at).us + static_cast<std::int64_t>(day * kUsPerDay)};
      --open;
    }
  }
  return first;
}

OutputTrend OutputEstimate::trend(base::Instant when) const {
  const Passage passage(std::max(0.0, days_between(state_->at, when)), model_);
  const double variance = passage.keeps * passage.keeps * state_->covariance(kSlope, kSlope) + passage.slope_variance;
  return {.per_day = model_.slope_per_day + passage.keeps * state_->mean(kSlope), .sd_per_day = std::sqrt(variance)};
}

double OutputEstimate::ln_error(std::size_t kind) const {
  const Eigen::Index at = kErrors + static_cast<Eigen::Index>(kind);
  return at < state_->mean.size() ? state_->mean(at) : 0;
}

std::vector<OutputSpread> estimates_then(const OutputKnown& known, std::span<const base::Instant> instants,
                                         const OutputModel& model, std::span<const ShownFrom> shown) {
  OutputFilter filter(known, model);
  std::vector<OutputSpread> found;
  found.reserve(instants.size());
  for (const base::Instant when : instants) {
    filter.take_until(when);
    found.push_back(spread_of(filter.state(), when, model, as_shown_at(shown, when)));
  }
  return found;
}

}  // namespace throughcure::fleet
