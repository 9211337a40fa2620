// What whoever brings an old log of readings in is told: which of its lights want a check before they are used.
#pragma once

#include <string>
#include <vector>

#include "throughcure/desk/light_cache.hpp"

namespace throughcure::desk {

/// A light with what its readings say now. Nothing is done to it.
struct LightToLookAt {
  base::LightId light;
  std::string name;
  std::string sentence;
};

/// Of these lights those whose newest reading that counts is below what the checks ask for, or whose charts have an
/// alarm that stands, in the order given. Throws Missing.
std::vector<LightToLookAt> lights_to_look_at(LightsNow& lights, const std::vector<base::LightId>& of,
                                             base::Instant now);

}  // namespace throughcure::desk
