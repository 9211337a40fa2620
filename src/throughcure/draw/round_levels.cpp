#include "throughcure/draw/round_levels.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace throughcure::draw {

std::vector<double> round_levels(double low, double high, int wanted) {
  constexpr double alike = 1e-9;  // a step much finer than the values themselves could not count them
  if (!(high - low > alike * std::max(std::abs(low), std::abs(high))) || !std::isfinite(high - low)) return {};
  const double finest = (high - low) / (wanted + 1);
  const double decade = std::pow(10, std::floor(std::log10(finest)));
  for (const double times : std::array{1.0, 2.0, 2.5, 5.0, 10.0, 20.0}) {
    const double step = times * decade;
    std::vector<double> levels;
    const double first = std::floor(low / step) + 1;
    for (int i = 0; (first + i) * step < high; ++i) levels.push_back((first + i) * step);
    if (levels.size() <= static_cast<std::size_t>(wanted)) return levels;
  }
  return {};
}

}  // namespace throughcure::draw
