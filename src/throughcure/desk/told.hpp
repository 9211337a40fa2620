// What a check was told when it was taken in, as its reading keeps it.
#pragma once

#include <string>

#include "throughcure/desk/checks.hpp"
#include "throughcure/desk/policy.hpp"

namespace throughcure::desk {

/// All that checks are judged by: "lower_limit_mw_cm2 500, upper_caution_mw_cm2 2000, ...", the policy's own names.
std::string limits_of_checks(const Policy& policy);

/// The reading with what was said of it, whatever it came with.
fleet::ReadingEntry as_told(fleet::ReadingEntry reading, const CheckAnswer& answer, const Policy& policy);

}  // namespace throughcure::desk
