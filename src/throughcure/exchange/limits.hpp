// What a number in a file may be, and how that is said.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace throughcure::exchange {

/// What a number may be; a bound that is not set does not bind. NaN and infinity are never allowed.
struct Limits {
  std::optional<double> at_least{};
  std::optional<double> above{};  ///< strictly more than this
  std::optional<double> at_most{};
  std::optional<double> below{};  ///< strictly less than this
  std::string_view unit{};        ///< "mm"; empty for a pure number
};

/// What is wanted, in words: "a number from 0.5 to 20 mm", "a number above 0 mm", "a number".
std::string wanted(const Limits& limits);

/// What is wrong with a number, with the limit that it breaks; nothing when it is allowed.
std::optional<std::string> against_limits(double value, const Limits& limits);

/// Some finite number within the limits, for a reader that goes on after a problem.
double stand_in(const Limits& limits);

}  // namespace throughcure::exchange
