#include "throughcure/fleet/in_control.hpp"

#include <cmath>
#include <cstddef>
#include <numeric>

namespace throughcure::fleet {

namespace {

double mean(std::span<const double> values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

}  // namespace

std::vector<double> moving_ranges(std::span<const double> values) {
  std::vector<double> ranges;
  for (std::size_t i = 1; i < values.size(); ++i) ranges.push_back(std::abs(values[i] - values[i - 1]));
  return ranges;
}

InControl estimate_in_control(std::span<const double> values) {
  return {.target = mean(values), .sigma = mean(moving_ranges(values)) / kD2OfTwo};
}

}  // namespace throughcure::fleet
