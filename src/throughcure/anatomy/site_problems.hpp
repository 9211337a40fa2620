// What is wrong with a site, all of it at once, said so that its writer can mend it.
#pragma once

#include <string>
#include <vector>

#include "throughcure/anatomy/restoration.hpp"

namespace throughcure::anatomy {

/// One thing wrong: the field as the structs name it ("cavity.distal.floor_below_cusps_mm"), what, and the remedy.
struct SiteProblem {
  std::string field;
  std::string what;
  std::string remedy;
};

/// Everything wrong with a site: sizes that are no sizes, a cavity larger than its tooth or into the pulp, increments
/// that leave a gap or lie above the crown, a band or wedge without a place. Empty: `build_scene` can build it.
std::vector<SiteProblem> site_problems(const Site& site);

}  // namespace throughcure::anatomy
