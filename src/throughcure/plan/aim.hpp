// The places that a tip is aimed at, by the names that a dentist gives them.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "throughcure/anatomy/restoration.hpp"

namespace throughcure::plan {

/// A named aim of a site.
struct Aim {
  std::string_view name;  ///< "distal box", "distal box floor", "occlusal", ...
  base::Point at;
};

/// All named aims of a site: for each box its middle ("distal box", half-way from the crown's surface to the floor) and
/// its gingival floor ("distal box floor"), for an occlusal part its pulpal floor ("occlusal"), for a Class III its
/// middle ("front").
std::vector<Aim> aims(const anatomy::Site& site);

/// The aim of that name; nothing where the site has none.
std::optional<base::Point> aim_called(const anatomy::Site& site, std::string_view name);

}  // namespace throughcure::plan
