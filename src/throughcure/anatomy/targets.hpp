// The places that must cure, as small balls that each lie wholly inside one increment.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "throughcure/anatomy/restoration.hpp"
#include "throughcure/anatomy/scene.hpp"

namespace throughcure::anatomy {

enum class TargetKind : std::uint8_t {
  kFloor,            ///< on the gingival or the pulpal floor
  kLineAngle,        ///< where a floor meets a wall
  kMargin,           ///< on the gingival floor, at the tooth's surface
  kIncrementBottom,  ///< the lowest place of a later increment
  kTop               ///< 0.2 to 0.5 mm under the open surface: shown beside the others, never decides
};

struct Target {
  std::string name;  ///< "gingival floor, buccal line angle", "increment 2, bottom"
  TargetKind kind = TargetKind::kFloor;
  std::size_t increment = 0;  ///< index of the increment that holds it, in every state from its placing on
  base::Point centre;
  double radius_mm = 0.12;
};

/// The targets of a site: the floors (centre and halves), their line angles and margins, the bottom of each increment
/// above the first, and one place near the top. A place too narrow for a ball of 0.12 mm takes one of 0.06 mm; one too
/// narrow for that is left out. Expects a site without problems.
std::vector<Target> targets(const Site& site);

/// Whether the ball lies wholly inside one medium; looks from 128 directions on its surface.
bool lies_in_one_medium(const Scene& scene, const base::Point& centre, double radius_mm);

}  // namespace throughcure::anatomy
