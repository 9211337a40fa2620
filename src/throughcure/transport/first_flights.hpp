// What a tip's light does before it has lost its way: straight on through air, and into what scatters.
#pragma once

#include <vector>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/base/vec3.hpp"
#include "throughcure/transport/grid.hpp"
#include "throughcure/transport/medium.hpp"
#include "throughcure/transport/posed_tip.hpp"

namespace throughcure::transport {

/// Of one tip of 1 mW, by cell of a grid, in media that scatter.
struct FirstFlights {
  std::vector<double> fluence;    ///< of light that still goes its first way [1/mm2]
  std::vector<double> scattered;  ///< light that loses its way there [1/mm3]
  std::vector<base::Vec> flow;    ///< `fluence` along its mean direction, the shorter the more of it was turned [1/mm2]
};

/// Follows a few thousand rays from the tip, refracted, reflected and sent back by metal as all light is; in what
/// scatters they go straight on and weaken by absorption and reduced scattering. Always the same rays.
/// Equation: in the delta-Eddington picture (Joseph, Wiscombe, Weinman 1976, J Atmos Sci 33:2452) light that scatters
/// forwards goes on with the beam, which falls as exp(-(mua + mus') s); its mean cosine to the first way after s is
/// exp(-mus' s), as each collision keeps a share g of it.
FirstFlights first_flights(const anatomy::Scene& scene, const Media& media, const PosedTip& tip, const Grid& grid);

}  // namespace throughcure::transport
