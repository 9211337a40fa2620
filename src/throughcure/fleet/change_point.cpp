#include "throughcure/fleet/change_point.hpp"

namespace throughcure::fleet {

std::size_t change_began(std::span<const double> values, double target, Side side) {
  std::size_t best = values.size() - 1;
  double best_gain = 0;
  double sum = 0;
  for (std::size_t t = values.size(); t-- > 0;) {
    sum += values[t] - target;
    if ((sum > 0) != (side == Side::kHigh)) continue;
    const double gain = sum * sum / static_cast<double>(values.size() - t);
    if (gain <= best_gain) continue;
    best = t;
    best_gain = gain;
  }
  return best;
}

}  // namespace throughcure::fleet
