// The chances at which a verdict changes its word, as the practice has chosen them.
#pragma once

#include "throughcure/base/problem.hpp"
#include "throughcure/cure/priors.hpp"
#include "throughcure/desk/policy.hpp"

namespace throughcure::desk {

/// Those of the reference, but where the practice has chosen others: these carry its source.
cure::Policy verdict_policy(const Policy& chosen, const cure::Policy& delivered);

/// What is wrong with them together: a restoration would be through-cured and under-cured at once.
base::Problems verdict_policy_problems(const Policy& chosen);

}  // namespace throughcure::desk
