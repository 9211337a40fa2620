// What to heed beside an answer, each at the act that it belongs to, in words that every screen and printout shares.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "throughcure/plan/case.hpp"

namespace throughcure::plan {

/// Where a caution stands.
enum class Act : std::uint8_t {
  kLight,  ///< an exposure is chosen
  kPlan,   ///< a plan is taken over
};

struct Caution {
  Act act = Act::kLight;
  std::string sentence;
};

/// Those of this patient first, then those for everybody, the light's before the plan's.
std::vector<Caution> cautions(const Patient& patient);

}  // namespace throughcure::plan
