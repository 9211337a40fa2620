// How steady a hand is taken to be where nobody says: reference/hand.toml.
#pragma once

#include "throughcure/plan/case.hpp"

namespace throughcure::exchange {

/// Read once, at the first question.
const plan::Hand& reference_hand();

}  // namespace throughcure::exchange
