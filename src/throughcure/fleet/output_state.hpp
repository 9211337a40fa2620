// The state that OutputEstimate follows and OutputSmoother starts from. Internal to fleet.
#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <optional>
#include <utility>
#include <vector>

#include "throughcure/fleet/output_estimate.hpp"

namespace throughcure::fleet {

/// What `days` do to level and slope: the slope is an Ornstein-Uhlenbeck process and the level its integral (exact
/// moments), plus a random walk.
struct Passage {
  Passage(double days, const OutputModel& model);
  double drift;      ///< of the level
  double keeps = 1;  ///< share of the slope that is left
  double gains = 0;  ///< of the level, per unit of slope [day]
  double slope_variance = 0;
  double together = 0;  ///< covariance of what comes to level and slope
  double level_variance = 0;
};

/// Level, slope over its mean, and each error: a Gaussian at one instant.
struct OutputState {
  static constexpr Eigen::Index kLevel = 0;
  static constexpr Eigen::Index kSlope = 1;
  static constexpr Eigen::Index kErrors = 2;  ///< those of the kinds of readings come after

  base::Instant at{};
  Eigen::VectorXd mean;
  Eigen::MatrixXd covariance;

  void pass(double days, const OutputModel& model);
  /// To an instant; an earlier one changes nothing.
  void go_to(base::Instant when, const OutputModel& model);
  /// Kalman's update by one reading.
  void take(const OutputReading& reading, const OutputModel& model);
  /// Mean and sd some days on, of the level or of what is shown of it.
  [[nodiscard]] std::pair<double, double> output_after(double days, const OutputModel& model,
                                                       const std::optional<AsShown>& as) const;
  /// Where the error of what is shown stands; none: of the level, or of a kind that is not known.
  [[nodiscard]] std::optional<Eigen::Index> error_of(const std::optional<AsShown>& as) const;

 private:
  Eigen::VectorXd gain_;  // room for take()
  Eigen::VectorXd seen_;
};

/// Goes through what is known of a light from its acceptance on, as far as it is asked to.
class OutputFilter {
 public:
  /// Throws base::InputError as OutputEstimate does.
  OutputFilter(const OutputKnown& known, const OutputModel& model);
  /// Takes the readings and steps up to then that were not taken yet: a step before a reading of the same instant.
  void take_until(base::Instant until);
  /// As it stood after the last of them.
  [[nodiscard]] const OutputState& state() const { return state_; }

 private:
  void take_steps_until(base::Instant until);
  std::vector<OutputReading> readings_;
  std::vector<OutputStep> steps_;
  OutputModel model_;
  OutputState state_;
  std::size_t next_reading_ = 0;
  std::size_t next_step_ = 0;
};

/// What is known of the light at `until` from what was known up to then. Throws base::InputError as OutputEstimate
/// does.
OutputState filtered_until(const OutputKnown& known, base::Instant until, const OutputModel& model);

/// The same as it stood after the last reading or step up to then.
OutputState filtered_to_last(const OutputKnown& known, base::Instant until, const OutputModel& model);

/// [days]
double days_between(base::Instant from, base::Instant to);

}  // namespace throughcure::fleet
