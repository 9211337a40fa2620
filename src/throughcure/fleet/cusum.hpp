// The two-sided chart of cumulative sums: the quickest at a small step that stays.
#pragma once

#include <span>
#include <vector>

#include "throughcure/fleet/in_control.hpp"
#include "throughcure/fleet/signal.hpp"

namespace throughcure::fleet {

struct CusumSettings {
  double k = 0.5;  ///< allowance [sigma]: half the step to be found quickly
  double h = 5;    ///< decision limit [sigma]
};

struct CusumChart {
  double h = 0;                 ///< decision limit, in the unit of the values
  std::vector<double> c_plus;   ///< as many as the values, in their unit, 0 or above
  std::vector<double> c_minus;  ///< the same for what lies below the target
  std::vector<Signal> signals;
};

/// c+_i = max(0, c+_(i-1) + x_i - target - k), c-_i = max(0, c-_(i-1) + target - k - x_i); every point above h is a
/// signal. The change began at the first point after the sum was last 0. The sums are not set back by a signal.
/// Source: NIST/SEMATECH e-Handbook 6.3.2.3 (published); the start of the change from Page's counter (from memory).
CusumChart cusum_chart(std::span<const double> values, const InControl& in_control, const CusumSettings& settings = {});

}  // namespace throughcure::fleet
