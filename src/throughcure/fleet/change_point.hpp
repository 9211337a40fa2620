// When a change began that a chart has noticed only later.
#pragma once

#include <cstddef>
#include <span>

namespace throughcure::fleet {

/// On which side of the target the values went.
enum class Side : bool { kLow, kHigh };

/// The most likely first point of a step away from `target` that was noticed at the last of `values`: the t that
/// makes (n - t) (mean of x_t..x_(n-1) - target)^2 largest, over the t whose mean lies on `side`; the last point
/// where none does. Counts from 0; `values` is not empty.
/// Source: maximum likelihood for a step of a normal mean from a known value (Samuel, Pignatiello and Calvin 1998,
/// Quality Engineering 10(3); from memory, the formula derived).
std::size_t change_began(std::span<const double> values, double target, Side side);

}  // namespace throughcure::fleet
