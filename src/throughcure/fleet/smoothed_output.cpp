#include "throughcure/fleet/smoothed_output.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <tuple>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/base/random.hpp"
#include "throughcure/fleet/normal.hpp"
#include "throughcure/fleet/output_state.hpp"

namespace throughcure::fleet {

namespace {

constexpr std::uint32_t kPurpose = 0x534d54;
constexpr Eigen::Index kLevel = OutputState::kLevel;
constexpr Eigen::Index kSlope = OutputState::kSlope;

/// Covariance of what comes to the level after the window's beginning, at two times [day] of it: the integral of an
/// Ornstein-Uhlenbeck process that starts at 0, and a random walk.
double come_to_level(double s, double t, const OutputModel& model) {
  const double rate = 1 / model.slope_memory_days;
  const auto lost = [&](double days) { return -std::expm1(-rate * days) / rate; };
  const double stationary =
      (2 * std::min(s, t) - lost(s) - lost(t) + lost(std::abs(s - t))) / rate;  // of one that has run for ever
  const double variance = model.slope_sd_per_day * model.slope_sd_per_day;
  return variance * (stationary - lost(s) * lost(t)) +
         model.level_sd_per_root_day * model.level_sd_per_root_day * std::min(s, t);
}

Eigen::Index index(std::size_t i) { return static_cast<Eigen::Index>(i); }

/// Square root of a covariance that may have lost some of its rank.
Eigen::MatrixXd root(const Eigen::MatrixXd& covariance) {
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(covariance);
  return solver.eigenvectors() * solver.eigenvalues().cwiseMax(0).cwiseSqrt().asDiagonal();
}

/// Of a mixture of Gaussians, about a value near their means.
struct Moments {
  double weight = 0;
  double first = 0;
  double second = 0;

  void add(double share, double mean, double variance) {
    weight += share;
    first += share * mean;
    second += share * (variance + mean * mean);
  }
  void add(const Moments& other) {
    weight += other.weight;
    first += other.first;
    second += other.second;
  }
  void put(SmoothedDays& days, double about) const {
    const double mean = first / weight;
    days.ln_mean.push_back(about + mean);
    days.ln_sd.push_back(std::sqrt(std::max(0.0, second / weight - mean * mean)));
  }
};

}  // namespace

struct OutputSmoother::Window {
  /// The loss given an alternative and the readings, and what the readings say of the alternative.
  struct Loss {
    double mean = 0;
    double variance = 0;
    double ln_likelihood = 0;
    Eigen::VectorXd back;  // what the days take back per unit of loss, since readings saw it: C V^-1 h
  };

  SmoothingSettings settings;
  OutputState start;
  std::optional<Eigen::Index> shown_error;       // its place in the state, where all is as shown
  double ln_factor = 0;                          // of what is shown
  double length = 0;                             // [day]
  std::vector<double> days;                      // 0, 1, ...
  std::vector<OutputReading> readings;           // of the window
  std::vector<double> at;                        // of each [day]
  std::vector<std::pair<double, double>> steps;  // at [day], variance
  Eigen::VectorXd off;                           // readings less their prior means
  Eigen::MatrixXd seen;                          // L^-1 C', with V = L L' and C the days' covariance with the readings
  Eigen::LLT<Eigen::MatrixXd> factor;
  double half_ln_determinant = 0;
  Eigen::VectorXd white;       // L^-1 off
  Eigen::VectorXd prior_mean;  // of the days, without the loss
  Eigen::VectorXd base_mean;   // given the readings, as if there were no loss
  Eigen::VectorXd base_variance;
  std::vector<std::size_t> first_seeing;  // for a step on day d: the first reading after it
  std::vector<Loss> step_losses;          // by the first reading that sees the step, 0 to all
  Loss decline;
  SmoothedOutput out;

  [[nodiscard]] double level_covariance(double s, double t) const {
    const Passage to_s(s, settings.model);
    const Passage to_t(t, settings.model);
    const Eigen::MatrixXd& P = start.covariance;
    double sum = P(kLevel, kLevel) + (to_s.gains + to_t.gains) * P(kLevel, kSlope) +
                 to_s.gains * to_t.gains * P(kSlope, kSlope) + come_to_level(s, t, settings.model);
    for (const auto& [when, variance] : steps) sum += s >= when && t >= when ? variance : 0;
    return sum;
  }

  [[nodiscard]] double with_error(double t, Eigen::Index e) const {
    return start.covariance(kLevel, e) + Passage(t, settings.model).gains * start.covariance(kSlope, e);
  }

  [[nodiscard]] double prior_level(double t) const {
    const Passage to_t(t, settings.model);
    return start.mean(kLevel) + to_t.gains * start.mean(kSlope) + to_t.drift;
  }

  [[nodiscard]] double noise(const OutputReading& r) const {
    return settings.model.reading_sd * settings.model.reading_sd + r.ln_factor_sd * r.ln_factor_sd;
  }

  void condition() {
    const Eigen::Index m = index(readings.size());
    const Eigen::Index n = index(days.size());
    Eigen::MatrixXd V(m, m);
    Eigen::MatrixXd C(m, n);
    off.resize(m);
    for (Eigen::Index i = 0; i < m; ++i) {
      const auto a = static_cast<std::size_t>(i);
      const Eigen::Index e = OutputState::kErrors + index(readings[a].radiometer);
      for (Eigen::Index j = 0; j <= i; ++j) {
        const auto b = static_cast<std::size_t>(j);
        const Eigen::Index f = OutputState::kErrors + index(readings[b].radiometer);
        V(i, j) = V(j, i) = level_covariance(at[a], at[b]) + with_error(at[a], f) + with_error(at[b], e) +
                            start.covariance(e, f) + (i == j ? noise(readings[a]) : 0);
      }
      for (Eigen::Index d = 0; d < n; ++d) {
        const double day = days[static_cast<std::size_t>(d)];
        C(i, d) = level_covariance(at[a], day) + with_error(day, e);
        if (shown_error) C(i, d) += with_error(at[a], *shown_error) + start.covariance(e, *shown_error);
      }
      off(i) = std::log(readings[a].shown_mw_cm2) - readings[a].ln_factor - prior_level(at[a]) - start.mean(e);
    }
    factor.compute(V);
    seen = factor.matrixL().solve(C);
    white = factor.matrixL().solve(off);
    half_ln_determinant = m == 0 ? 0 : factor.matrixLLT().diagonal().array().log().sum();
    prior_mean.resize(n);
    base_variance.resize(n);
    for (Eigen::Index d = 0; d < n; ++d) {
      const double day = days[static_cast<std::size_t>(d)];
      prior_mean(d) = prior_level(day) + ln_factor;
      base_variance(d) = level_covariance(day, day) - seen.col(d).squaredNorm();
      if (!shown_error) continue;
      prior_mean(d) += start.mean(*shown_error);
      base_variance(d) += 2 * with_error(day, *shown_error) + start.covariance(*shown_error, *shown_error);
    }
    base_mean = prior_mean + seen.transpose() * white;
  }

  /// By a change of rank one: V + s^2 h h'.
  [[nodiscard]] Loss loss_seen_by(const Eigen::VectorXd& h) const {
    const Eigen::VectorXd u = factor.matrixL().solve(h);
    const Eigen::VectorXd rest = white - settings.loss_mean * u;
    const double prior = settings.loss_sd * settings.loss_sd;
    const double grows = 1 + prior * u.squaredNorm();
    const double along = u.dot(rest);
    Loss loss{.mean = settings.loss_mean + prior * along / grows, .variance = prior / grows, .back = {}};
    const double square = rest.squaredNorm() - prior * along * along / grows;
    loss.ln_likelihood =
        -0.5 * (square + std::log(grows) + static_cast<double>(u.size()) * std::log(2 * std::numbers::pi)) -
        half_ln_determinant;
    loss.back = seen.transpose() * u;
    return loss;
  }

  [[nodiscard]] const Loss& of_step(std::size_t day) const { return step_losses[first_seeing[day]]; }

  [[nodiscard]] double step_shape(std::size_t step, Eigen::Index day) const { return day >= index(step) ? 1 : 0; }
  [[nodiscard]] double decline_shape(Eigen::Index day) const {
    return std::min(1.0, days[static_cast<std::size_t>(day)] / length);
  }

  /// Mean and variance of one day's level, with `shape` of the loss on it.
  [[nodiscard]] std::pair<double, double> day_with(const Loss& loss, Eigen::Index day, double shape) const {
    const double net = shape - loss.back(day);
    return {base_mean(day) + net * loss.mean, std::max(0.0, base_variance(day) + net * net * loss.variance)};
  }

  void weigh();
};

void OutputSmoother::Window::weigh() {
  const std::size_t last = days.size() - 1;
  out.last_day = last;
  out.step_day.assign(days.size(), 0);
  double most = -std::numeric_limits<double>::infinity();
  for (std::size_t d = 1; d <= last; ++d) most = std::max(most, of_step(d).ln_likelihood);
  double sum = 0;
  for (std::size_t d = 1; d <= last; ++d) {
    out.step_day[d] = std::exp(of_step(d).ln_likelihood - most);
    sum += out.step_day[d];
  }
  for (double& probability : out.step_day) probability /= sum;
  const double of_steps = most + std::log(sum / static_cast<double>(last));
  const double odds = (1 - settings.step_chance) / settings.step_chance * std::exp(decline.ln_likelihood - of_steps);
  out.step_weight = 1 / (1 + odds);

  for (Eigen::Index i = 0; i < index(days.size()); ++i) {
    Moments before;
    Moments after;
    for (std::size_t d = 1; d <= last; ++d) {
      const auto [m, v] = day_with(of_step(d), i, step_shape(d, i));
      (i < index(d) ? before : after).add(out.step_day[d], m - base_mean(i), v);
    }
    Moments step = before;
    step.add(after);
    step.put(out.step, base_mean(i));
    (before.weight > 0 ? before : step).put(out.before_step, base_mean(i));
    (after.weight > 0 ? after : step).put(out.after_step, base_mean(i));
    out.step_come.push_back(after.weight / step.weight);
    const auto [m, v] = day_with(decline, i, decline_shape(i));
    out.gradual.ln_mean.push_back(m);
    out.gradual.ln_sd.push_back(std::sqrt(v));
    Moments both;
    both.add(out.step_weight, out.step.ln_mean.back() - base_mean(i), out.step.ln_sd.back() * out.step.ln_sd.back());
    both.add(1 - out.step_weight, m - base_mean(i), v);
    both.put(out.both, base_mean(i));
  }
}

OutputSmoother::OutputSmoother(const OutputKnown& known, base::Instant last_good, base::Instant failed,
                               const SmoothingSettings& settings, const std::optional<AsShown>& as)
    : window_(std::make_unique<Window>()) {
  if (failed <= last_good) throw base::Failure("The failed check does not come after the last good one.");
  Window& w = *window_;
  w.settings = settings;
  w.start = filtered_until(known, last_good, settings.model);
  w.shown_error = w.start.error_of(as);
  w.ln_factor = as ? as->ln_factor : 0;
  w.length = days_between(last_good, failed);
  constexpr double kLeastDays = 8;
  const double count = std::max(kLeastDays, std::ceil(w.length));
  w.out.spacing_days = w.length < kLeastDays ? w.length / kLeastDays : 1;
  for (int day = 0; day <= static_cast<int>(count); ++day) w.days.push_back(day * w.out.spacing_days);
  for (const OutputReading& reading : known.readings) {
    if (reading.at > last_good && reading.at <= failed) w.readings.push_back(reading);
  }
  std::ranges::sort(w.readings, {}, [](const OutputReading& r) {
    return std::tuple(r.at.us, r.radiometer, r.shown_mw_cm2, r.ln_factor, r.ln_factor_sd);
  });
  for (const OutputReading& reading : w.readings) w.at.push_back(days_between(last_good, reading.at));
  for (const OutputStep& step : known.steps) {
    if (step.at <= last_good || step.at > failed) continue;
    w.steps.emplace_back(days_between(last_good, step.at), step.sd * step.sd);
  }
  w.condition();

  const Eigen::Index m = index(w.readings.size());
  for (Eigen::Index first = 0; first <= m; ++first) {
    Eigen::VectorXd h = Eigen::VectorXd::Ones(m);
    h.head(first).setZero();
    w.step_losses.push_back(w.loss_seen_by(h));
  }
  w.first_seeing.reserve(w.days.size());
  for (const double day : w.days) {
    w.first_seeing.push_back(
        static_cast<std::size_t>(std::ranges::upper_bound(w.at, day - w.out.spacing_days) - w.at.begin()));
  }
  Eigen::VectorXd share(m);
  for (Eigen::Index i = 0; i < m; ++i) share(i) = w.at[static_cast<std::size_t>(i)] / w.length;
  w.decline = w.loss_seen_by(share);
  w.weigh();
}

OutputSmoother::~OutputSmoother() = default;
OutputSmoother::OutputSmoother(OutputSmoother&&) noexcept = default;
OutputSmoother& OutputSmoother::operator=(OutputSmoother&&) noexcept = default;

const SmoothedOutput& OutputSmoother::smoothed() const { return window_->out; }

SmoothedDays OutputSmoother::given_step_on(std::size_t day) const {
  const Window& w = *window_;
  SmoothedDays given;
  for (Eigen::Index i = 0; i < index(w.days.size()); ++i) {
    const auto [mean, variance] = w.day_with(w.of_step(day), i, w.step_shape(day, i));
    given.ln_mean.push_back(mean);
    given.ln_sd.push_back(std::sqrt(variance));
  }
  return given;
}

double OutputSmoother::ln_likelihood_of_step_on(std::size_t day) const { return window_->of_step(day).ln_likelihood; }
double OutputSmoother::ln_likelihood_of_decline() const { return window_->decline.ln_likelihood; }

std::vector<std::vector<double>> OutputSmoother::draws(std::uint64_t seed, std::size_t count) const {
  const Window& w = *window_;
  const OutputModel& model = w.settings.model;
  // One course of the model itself, with readings of it; then what the real readings say more, brought to the days
  // (Matheron's rule), and a loss from its own distribution.
  struct Stop {
    double at = 0;
    bool day = false;
    std::size_t i = 0;
  };
  std::vector<Stop> stops;
  stops.reserve(w.days.size() + w.at.size());
  for (std::size_t i = 0; i < w.days.size(); ++i) stops.push_back({.at = w.days[i], .day = true, .i = i});
  for (std::size_t i = 0; i < w.at.size(); ++i) stops.push_back({.at = w.at[i], .day = false, .i = i});
  std::ranges::sort(stops, {}, [](const Stop& s) { return std::tuple(s.at, s.day, s.i); });
  const Eigen::MatrixXd start_root = root(w.start.covariance);
  std::vector<std::pair<Passage, Eigen::MatrixXd>> passages;
  passages.reserve(stops.size());
  double before = 0;
  for (const Stop& stop : stops) {
    const Passage passage(stop.at - before, model);
    Eigen::MatrixXd noise(2, 2);
    noise << passage.level_variance, passage.together, passage.together, passage.slope_variance;
    passages.emplace_back(passage, root(noise));
    before = stop.at;
  }

  std::vector<std::vector<double>> courses;
  courses.reserve(count);
  for (std::size_t draw = 0; draw < count; ++draw) {
    base::Stream stream(seed, kPurpose, draw);
    const bool step = stream.uniform() < w.out.step_weight;
    std::size_t on = 1;
    for (double left = stream.uniform(); on < w.days.size() - 1 && left > w.out.step_day[on]; ++on) {
      left -= w.out.step_day[on];
    }
    const Window::Loss& loss = step ? w.of_step(on) : w.decline;
    const double lost = loss.mean + std::sqrt(loss.variance) * standard_normal(stream);

    const auto normals = [&](Eigen::Index n) {
      Eigen::VectorXd z(n);
      for (Eigen::Index i = 0; i < n; ++i) z(i) = standard_normal(stream);
      return z;
    };
    const Eigen::VectorXd x = w.start.mean + start_root * normals(w.start.mean.size());
    std::vector<double> jumps;
    jumps.reserve(w.steps.size());
    for (const auto& [when, variance] : w.steps) jumps.push_back(std::sqrt(variance) * standard_normal(stream));
    double level = x(kLevel);
    double slope = x(kSlope);
    Eigen::VectorXd course(index(w.days.size()));
    Eigen::VectorXd miss(index(w.at.size()));
    for (std::size_t s = 0; s < stops.size(); ++s) {
      const auto& [passage, noise] = passages[s];
      const Eigen::VectorXd shock = noise * normals(2);
      level += passage.gains * slope + passage.drift + shock(0);
      slope = passage.keeps * slope + shock(1);
      double here = level;
      for (std::size_t k = 0; k < jumps.size(); ++k) here += stops[s].at >= w.steps[k].first ? jumps[k] : 0;
      if (stops[s].day) {
        course(index(stops[s].i)) = here + w.ln_factor + (w.shown_error ? x(*w.shown_error) : 0);
        continue;
      }
      const OutputReading& reading = w.readings[stops[s].i];
      const double shown = here + x(OutputState::kErrors + index(reading.radiometer)) +
                           std::sqrt(w.noise(reading)) * standard_normal(stream);
      miss(index(stops[s].i)) = std::log(reading.shown_mw_cm2) - reading.ln_factor - shown;
    }
    course += w.seen.transpose() * w.factor.matrixL().solve(miss);
    std::vector<double> values(w.days.size());
    for (Eigen::Index i = 0; i < course.size(); ++i) {
      const double shape = step ? w.step_shape(on, i) : w.decline_shape(i);
      values[static_cast<std::size_t>(i)] = course(i) + (shape - loss.back(i)) * lost;
    }
    courses.push_back(std::move(values));
  }
  return courses;
}

}  // namespace throughcure::fleet
