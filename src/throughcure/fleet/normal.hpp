// The standard normal distribution: its draws, its density, what lies below a value, and the value below which a share
// lies.
#pragma once

#include "throughcure/base/random.hpp"

namespace throughcure::fleet {

/// Mean 0, standard deviation 1; one number of the stream each.
double standard_normal(base::Stream& stream);

double normal_density(double x);

/// The probability of a value below x.
double normal_below(double x);

/// The inverse of normal_below; 0 < share < 1.
double normal_quantile(double share);

}  // namespace throughcure::fleet
