// Small balls spread over the resin of a section, in which its light and its conversion are worked out.
#pragma once

#include <cstddef>
#include <vector>

#include "throughcure/anatomy/restoration.hpp"
#include "throughcure/anatomy/section.hpp"

namespace throughcure::anatomy {

struct LatticePlace {
  base::Point centre;         ///< in the plane
  double radius_mm = 0.12;    ///< or 0.06 where no larger ball has room
  std::size_t increment = 0;  ///< the one that holds all of the ball
};

/// Spreads balls over each increment of the finished restoration where the plane cuts it, increment by increment. The
/// first lies at its lowest place; each further one where it is furthest from those before, so floors, walls and
/// corners come first. In the end no place of the increment with room for a ball is further than `spacing_mm` (> 0.05)
/// from one. Balls touch floors and walls within 0.05 mm. Expects a site without problems.
std::vector<LatticePlace> section_lattice(const Site& site, const SectionPlane& plane, double spacing_mm);

}  // namespace throughcure::anatomy
