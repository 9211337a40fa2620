#include "throughcure/exchange/limits.hpp"

#include <cmath>

#include "throughcure/base/number_text.hpp"

namespace throughcure::exchange {

namespace {

using base::number_text;

std::string with_unit(double value, std::string_view unit) {
  return number_text(value) + (unit.empty() ? "" : ' ' + std::string(unit));
}

}  // namespace

std::string wanted(const Limits& limits) {
  if (limits.at_least && limits.at_most) {
    return "a number from " + number_text(*limits.at_least) + " to " + with_unit(*limits.at_most, limits.unit);
  }
  std::string text = "a number";
  bool bounded = false;
  const auto add = [&](const std::optional<double>& bound, std::string_view words) {
    if (!bound) return;
    text += (bounded ? " and " : " ") + std::string(words) + ' ' + with_unit(*bound, limits.unit);
    bounded = true;
  };
  add(limits.at_least, "not below");
  add(limits.above, "above");
  add(limits.at_most, "not above");
  add(limits.below, "below");
  if (!bounded && !limits.unit.empty()) text += " in " + std::string(limits.unit);
  return text;
}

std::optional<std::string> against_limits(double value, const Limits& limits) {
  if (!std::isfinite(value)) return number_text(value) + " is not a number that can be used";
  const std::string shown = with_unit(value, limits.unit);
  if (limits.at_least && value < *limits.at_least) {
    return shown + " is below the least allowed, " + with_unit(*limits.at_least, limits.unit);
  }
  if (limits.at_most && value > *limits.at_most) {
    return shown + " is above the most allowed, " + with_unit(*limits.at_most, limits.unit);
  }
  if (limits.above && value <= *limits.above) {
    return shown + " is not above " + with_unit(*limits.above, limits.unit);
  }
  if (limits.below && value >= *limits.below) {
    return shown + " is not below " + with_unit(*limits.below, limits.unit);
  }
  return std::nullopt;
}

double stand_in(const Limits& limits) {
  if (limits.at_least) return *limits.at_least;
  if (limits.at_most) return *limits.at_most;
  if (limits.above && limits.below) return (*limits.above + *limits.below) / 2;
  if (limits.above) return *limits.above + 1;
  if (limits.below) return *limits.below - 1;
  return 0;
}

}  // namespace throughcure::exchange
