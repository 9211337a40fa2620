// What stands on the labels that are stuck to lights.
#pragma once

#include <string>
#include <vector>

#include "throughcure/practice/member.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

struct LightLabel {
  base::LightId light;
  std::string name;
  std::string serial;
  std::string place;  ///< its room, and its site
};

/// Of these lights, in this order, one as often as it is named; of all that somebody may see where none is named.
/// Throws Missing where one of them is not there for them to see, or there is none at all.
std::vector<LightLabel> light_labels(const store::Reader& reader, const practice::Member& member,
                                     const std::vector<base::LightId>& lights);

}  // namespace throughcure::desk
