// The limits and intervals that lights are judged by, as a print names them.
#pragma once

#include <string>
#include <vector>

#include "throughcure/desk/policy.hpp"

namespace throughcure::desk {

struct ValueInForce {
  std::string what;
  std::string value;  ///< with its unit: "500 mW/cm2", "90 %"
  std::string from;   ///< its kind, and its source where it has one
};

/// All that lights and their checks are judged by; those of restorations are left out.
std::vector<ValueInForce> values_in_force(const Policy& policy);

}  // namespace throughcure::desk
