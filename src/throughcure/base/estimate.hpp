// A Monte Carlo value with its standard error, from the scatter of equal batches.
#pragma once

#include <span>

namespace throughcure::base {

/// A mean and its standard error, in the unit of the quantity.
struct Estimate {
  double value = 0;
  double se = 0;
};

/// Mean of equal batches and the standard error of that mean. Needs two batches or more for an error; with one, se = 0.
Estimate estimate_from_batches(std::span<const double> batch_means);

}  // namespace throughcure::base
