#include "throughcure/cure/resin_nodes.hpp"

#include <cmath>

namespace throughcure::cure {

std::vector<double> geometric(double low, double high, std::size_t count) {
  std::vector<double> values;
  values.reserve(count);
  const double last = static_cast<double>(count) - 1;
  for (std::size_t i = 0; i < count; ++i) values.push_back(low * std::pow(high / low, static_cast<double>(i) / last));
  return values;
}

void Span::take(double v) {
  if (v <= 0) return;
  low = low == 0 ? v : std::min(low, v);
  high = std::max(high, v);
}

std::vector<double> Span::nodes(std::size_t count) const {
  return high > 1.001 * low ? geometric(low, high, count) : std::vector<double>{0.99 * low, 1.01 * high};
}

NodePlace straight_place_of(const std::vector<double>& nodes, double value) {
  return place_of(nodes, value, [](double v) { return v; });
}

NodePlace log_place_of(const std::vector<double>& nodes, double value) {
  return place_of(nodes, value, [](double v) { return std::log(v); });
}

}  // namespace throughcure::cure
