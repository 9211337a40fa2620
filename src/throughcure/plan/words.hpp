// A verdict as a plain sentence.
#pragma once

#include <string>

#include "throughcure/plan/verdict.hpp"

namespace throughcure::plan {

/// "about 3 in 10", "about 72 in 100", "less than 1 in 100", "more than 99 in 100".
std::string chance_words(double probability);

/// The answer first: "It stays soft at the gingival floor, distal margin: the chance that it cures through is about 3
/// in 10." Names the worst place by the target's name.
std::string sentence(const Verdict& verdict);

}  // namespace throughcure::plan
