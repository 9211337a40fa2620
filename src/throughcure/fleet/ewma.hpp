// The chart of the exponentially weighted moving average: sees a slow decline that single values hide.
#pragma once

#include <span>
#include <vector>

#include "throughcure/fleet/in_control.hpp"
#include "throughcure/fleet/signal.hpp"

namespace throughcure::fleet {

struct EwmaSettings {
  double lambda = 0.2;  ///< weight of the newest value, above 0 and at most 1
  double L = 3;         ///< limits [standard deviations of the average]
};

struct EwmaChart {
  double lcl = 0;
  double ucl = 0;
  std::vector<double> z;  ///< as many as the values
  std::vector<Signal> signals;
};

/// z_i = lambda x_i + (1 - lambda) z_(i-1) from z_0 = target, limits target +- L sigma sqrt(lambda / (2 - lambda)), the
/// asymptotic ones from the first point on. Source: NIST/SEMATECH e-Handbook 6.3.2.4 (published).
EwmaChart ewma_chart(std::span<const double> values, const InControl& in_control, const EwmaSettings& settings = {});

}  // namespace throughcure::fleet
