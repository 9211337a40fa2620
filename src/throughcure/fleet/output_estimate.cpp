#include "throughcure/fleet/output_estimate.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <string>
#include <tuple>
#include <utility>

#include <boost/math/distributions/normal.hpp>

#include "throughcure/base/problem.hpp"

namespace throughcure::fleet {

namespace {

constexpr double kUsPerDay = 86'400e6;
constexpr Eigen::Index kLevel = 0;
constexpr Eigen::Index kSlope = 1;
constexpr Eigen::Index kRadiometers = 2;  // their errors come after

double days_between(base::Instant from, base::Instant to) { return static_cast<double>(to.us - from.us) / kUsPerDay; }

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
  }
  base::refuse_if_any(problems);
}

}  // namespace

/// Level, slope over its mean, and each radiometer's error: a Gaussian at one instant.
struct OutputEstimate::State {
  base::Instant at{};
  Eigen::VectorXd mean;
  Eigen::MatrixXd covariance;

  /// The slope is an Ornstein-Uhlenbeck process and the level its integral (exact moments), plus a random walk.
  void pass(double days, const OutputModel& model) {
    if (days <= 0) return;
    const double rate = 1 / model.slope_memory_days;
    const double keeps = std::exp(-rate * days);
    const double gains = (1 - keeps) / rate;  // of the level, per unit of slope
    Eigen::MatrixXd step = Eigen::MatrixXd::Identity(mean.size(), mean.size());
    step(kLevel, kSlope) = gains;
    step(kSlope, kSlope) = keeps;
    mean = step * mean;
    mean(kLevel) += model.slope_per_day * days;
    covariance = step * covariance * step.transpose();
    const double variance = model.slope_sd_per_day * model.slope_sd_per_day;
    covariance(kSlope, kSlope) += variance * (1 - keeps * keeps);
    const double together = variance / rate * (1 - keeps) * (1 - keeps);
    covariance(kLevel, kSlope) += together;
    covariance(kSlope, kLevel) += together;
    covariance(kLevel, kLevel) += variance / (rate * rate) * (2 * rate * days - 3 + 4 * keeps - keeps * keeps) +
                                  model.level_sd_per_root_day * model.level_sd_per_root_day * days;
  }

  /// Kalman's update by one reading, in Joseph's form, which keeps the covariance positive.
  void take(const OutputReading& reading, const OutputModel& model) {
    Eigen::RowVectorXd sees = Eigen::RowVectorXd::Zero(mean.size());
    sees(kLevel) = 1;
    sees(kRadiometers + static_cast<Eigen::Index>(reading.radiometer)) = 1;
    const double noise = model.reading_sd * model.reading_sd + reading.ln_factor_sd * reading.ln_factor_sd;
    const double spread = (sees * covariance * sees.transpose())(0) + noise;
    if (spread <= 0) return;
    const Eigen::VectorXd gain = covariance * sees.transpose() / spread;
    mean += gain * (std::log(reading.shown_mw_cm2) - reading.ln_factor - (sees * mean)(0));
    const Eigen::MatrixXd rest = Eigen::MatrixXd::Identity(mean.size(), mean.size()) - gain * sees;
    covariance = rest * covariance * rest.transpose() + noise * gain * gain.transpose();
  }
};

OutputEstimate::OutputEstimate(const OutputKnown& known, base::Instant now, const OutputModel& model)
    : state_(std::make_unique<State>()), model_(model) {
  check(known);
  std::vector<OutputReading> readings = known.readings;
  std::vector<OutputStep> steps = known.steps;
  // The same bits in whatever order they came.
  std::ranges::sort(readings, {}, [](const OutputReading& r) {
    return std::tuple(r.at.us, r.radiometer, r.shown_mw_cm2, r.ln_factor, r.ln_factor_sd);
  });
  std::ranges::sort(steps, {}, [](const OutputStep& s) { return std::pair(s.at.us, s.sd); });
  std::size_t radiometers = 0;
  for (const OutputReading& reading : readings) radiometers = std::max(radiometers, reading.radiometer + 1);

  State& state = *state_;
  const Eigen::Index size = kRadiometers + static_cast<Eigen::Index>(radiometers);
  state.at = known.accepted_at;
  state.mean = Eigen::VectorXd::Zero(size);
  state.mean(kLevel) = std::log(known.claimed_mw_cm2);
  state.covariance = Eigen::MatrixXd::Zero(size, size);
  state.covariance(kLevel, kLevel) = model.claim_sd * model.claim_sd;
  state.covariance(kSlope, kSlope) = model.slope_sd_per_day * model.slope_sd_per_day;
  for (Eigen::Index i = kRadiometers; i < size; ++i) state.covariance(i, i) = model.radiometer_sd * model.radiometer_sd;

  const auto to = [&](base::Instant when) {
    state.pass(days_between(state.at, when), model);
    state.at = std::max(state.at, when);
  };
  std::size_t step = 0;
  const auto steps_until = [&](base::Instant when) {
    for (; step < steps.size() && steps[step].at <= when; ++step) {
      if (steps[step].at < known.accepted_at) continue;  // the claim is of the light as it was accepted
      to(steps[step].at);
      state.covariance(kLevel, kLevel) += steps[step].sd * steps[step].sd;
    }
  };
  for (const OutputReading& reading : readings) {
    if (reading.at > now) break;
    steps_until(reading.at);
    to(reading.at);
    state.take(reading, model);
  }
  steps_until(now);
  to(now);
}

OutputEstimate::~OutputEstimate() = default;
OutputEstimate::OutputEstimate(OutputEstimate&&) noexcept = default;
OutputEstimate& OutputEstimate::operator=(OutputEstimate&&) noexcept = default;

OutputSpread OutputEstimate::at(base::Instant when) const {
  State then = *state_;
  then.pass(days_between(then.at, when), model_);
  const double mean = then.mean(kLevel);
  const double sd = std::sqrt(then.covariance(kLevel, kLevel));
  const double to_10 = boost::math::quantile(boost::math::normal(), 0.9) * sd;
  return {std::exp(mean - to_10), std::exp(mean), std::exp(mean + to_10), sd};
}

double OutputEstimate::chance_below(double limit_mw_cm2, base::Instant when) const {
  const OutputSpread then = at(when);
  return below(std::log(limit_mw_cm2), std::log(then.p50), then.ln_sd);
}

std::optional<base::Instant> OutputEstimate::when_below(double limit_mw_cm2, double chance, int most_days) const {
  for (int day = 0; day <= most_days; ++day) {
    const base::Instant when{state_->at.us + static_cast<std::int64_t>(day * kUsPerDay)};
    if (chance_below(limit_mw_cm2, when) >= chance) return when;
  }
  return std::nullopt;
}

}  // namespace throughcure::fleet
