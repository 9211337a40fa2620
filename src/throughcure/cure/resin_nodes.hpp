// Nodes of a table over resins: from where to where, how far apart, and where a value lies between them.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace throughcure::cure {

/// `count` values from `low` (> 0) to `high`, each the same factor above the one before. Two or more.
std::vector<double> geometric(double low, double high, std::size_t count);

/// The least and the largest of the positive values it was shown.
struct Span {
  double low = 0;
  double high = 0;
  void take(double v);
  /// As nodes, geometric; a span of one value is opened a little, into two.
  [[nodiscard]] std::vector<double> nodes(std::size_t count) const;
};

/// Where a value lies between the nodes.
struct NodePlace {
  std::size_t i = 0;  ///< lower node
  double share = 0;   ///< of the upper one [0..1]
};

/// Nodes rise; the ends stand in for what is outside. Straight on the scale of `scale`, a rising function.
template <class Scale>
NodePlace place_of(const std::vector<double>& nodes, double value, Scale scale) {
  const double inside = std::clamp(value, nodes.front(), nodes.back());
  const auto upper = std::clamp<std::ptrdiff_t>(std::upper_bound(nodes.begin(), nodes.end(), inside) - nodes.begin(), 1,
                                                static_cast<std::ptrdiff_t>(nodes.size()) - 1);
  const auto i = static_cast<std::size_t>(upper - 1);
  return {i, (scale(inside) - scale(nodes[i])) / (scale(nodes[i + 1]) - scale(nodes[i]))};
}
/// On the scale of the values themselves.
NodePlace straight_place_of(const std::vector<double>& nodes, double value);
/// On the scale of their logarithms; the nodes are > 0.
NodePlace log_place_of(const std::vector<double>& nodes, double value);

}  // namespace throughcure::cure
