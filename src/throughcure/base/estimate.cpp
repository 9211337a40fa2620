#include "throughcure/base/estimate.hpp"

#include <cmath>

namespace throughcure::base {

Estimate estimate_from_batches(std::span<const double> batch_means) {
  const auto n = static_cast<double>(batch_means.size());
  if (batch_means.empty()) return {};
  double sum = 0;
  for (const double b : batch_means) sum += b;
  const double mean = sum / n;
  if (batch_means.size() < 2) return {mean, 0};
  double squares = 0;
  for (const double b : batch_means) squares += (b - mean) * (b - mean);
  return {mean, std::sqrt(squares / (n * (n - 1)))};
}

}  // namespace throughcure::base
