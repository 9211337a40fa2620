// Values that people read easily, for isolines and axes.
#pragma once

#include <vector>

namespace throughcure::draw {

/// The multiples of a round step (1, 2, 2.5 or 5 times a power of ten) strictly between two values; the step is the
/// smallest that gives `wanted` of them at most (two fewer at times). None where high <= low, or where the two are the
/// same but for rounding (1e-9 of them).
std::vector<double> round_levels(double low, double high, int wanted);

}  // namespace throughcure::draw
