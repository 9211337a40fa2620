// What the control charts say of one series: which chart raised an alarm, and when the change began.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "throughcure/fleet/change_point.hpp"
#include "throughcure/fleet/cusum.hpp"
#include "throughcure/fleet/ewma.hpp"
#include "throughcure/fleet/individuals.hpp"
#include "throughcure/fleet/scatter.hpp"
#include "throughcure/fleet/series.hpp"
#include "throughcure/fleet/signal.hpp"

namespace throughcure::fleet {

/// All charts run at once, so each is wider than it would be alone: together they raise a false alarm every 200 checks
/// or more (docs/charts.md; simulated in the tests).
struct AlarmSettings {
  ScatterPrior scatter{};
  IndividualsSettings individuals{.L = 3.4, .moving_range = 5};
  EwmaSettings ewma{.lambda = 0.2, .L = 3.15};
  CusumSettings cusum{.k = 0.5, .h = 5.4};
  double most_z = 4;      ///< EWMA and CUSUM take a reading further off for this far: one slip does not echo in them
  std::size_t quiet = 4;  ///< readings in a row that the individuals chart and EWMA are silent on end an alarm
};

/// One alarm of one chart on one side: from its first signal until the charts are quiet again.
struct Alarm {
  Rule rule = Rule::kBeyondLimits;
  Side side = Side::kLow;
  std::size_t at = 0;         ///< of Series::points: the reading that raised it
  std::size_t change_at = 0;  ///< the first one of the changed output, as estimated
  base::Instant raised_at{};
  base::Instant changed_at{};       ///< when that one was taken
  bool needs_bare_reading = false;  ///< only readings with a barrier on say so: take one without first
  bool stands = false;              ///< the same chart still says so at the last reading
};

/// What readings taught of ln share: how many, their mean, their squares about it, the mean doubt of their barriers.
struct ChartsLearned {
  double n = 0;
  double mean = 0;
  double squares = 0;
  double barrier_sd = 0;
};

/// Where the charts of a series last began afresh: what came before is told by what was learnt of it.
struct ChartsStart {
  std::size_t point = 0;  ///< of Series::points
  ChartsLearned learned{};
};

struct SeriesAlarms {
  std::vector<Alarm> alarms;  ///< by point, then by rule
  /// Of ln share: what the readings before any change are taken to be, as it stands at the end.
  double target = 0;
  double sigma = 0;
  std::size_t learned_from = 0;  ///< readings
  std::vector<double> z;         ///< what the charts are run on; the first is 0, since nothing is known yet
  ChartsStart last_start{};      ///< only alarms raised from there on may stand
};

/// Self-starting charts of ln share: each reading is compared with the mean and scatter of those before it,
///   t = (x - mean) / sqrt(s^2 (1 + 1/n) + (difference in barriers)^2),
/// and turned into a standard normal z by Student's t, so that neither target nor sigma need be known beforehand: in
/// control the z are independent and standard normal, for a sigma of the prior's kind. s starts at the prior and
/// becomes the readings' own (scatter_of). The first reading raises nothing. Once a change is seen, mean and scatter
/// stay those before it, until the charts are quiet again or something is done to the light. After every service event
/// the charts begin afresh: after a repair, as if nothing were known, after another, with what was learnt. Source:
/// Hawkins 1987, Self-starting CUSUM charts for location and scale, The Statistician 36 (from memory, derived).
/// `services` in any order; those that lend or give back change nothing.
SeriesAlarms run_alarms(const Series& series, std::span<const ServiceEvent> services,
                        const AlarmSettings& settings = {});

/// The same from where the charts last began, of a series whose points before that may have been left out (`start` has
/// its point's place among those that are left): what it says of alarms since then, and of which stand, is to the bit
/// what run_alarms says of the whole, where points have since been added at its end only.
SeriesAlarms run_alarms_from(const ChartsStart& start, const Series& series, std::span<const ServiceEvent> services,
                             const AlarmSettings& settings = {});

/// Mean number of readings up to and with the first alarm, by simulation of `runs` series of independent normal ln
/// shares with this scatter, whose mean moves by `shift` scatters after `steady` readings (counted from there; runs
/// that alarm before are left out). Learning is part of it. Runs are cut at 6400 readings.
double average_run_length(const AlarmSettings& settings, double scatter_sd, double shift, std::size_t steady,
                          std::uint64_t runs, std::uint64_t seed);

}  // namespace throughcure::fleet
