#include "throughcure/fleet/normal.hpp"

#include <cmath>
#include <numbers>

#include <boost/math/special_functions/erf.hpp>

namespace throughcure::fleet {

double standard_normal(base::Stream& stream) { return normal_quantile(stream.uniform()); }

double normal_density(double x) {
  return std::exp(-0.5 * x * x) * std::numbers::inv_sqrtpi_v<double> / std::numbers::sqrt2;
}

double normal_below(double x) { return 0.5 * std::erfc(-x / std::numbers::sqrt2); }

double normal_quantile(double share) { return -std::numbers::sqrt2 * boost::math::erfc_inv(2 * share); }

}  // namespace throughcure::fleet
