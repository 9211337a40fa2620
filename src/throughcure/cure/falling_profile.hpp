// A simulated profile without the noise that would make it rise with depth.
#pragma once

#include "throughcure/cure/scrape.hpp"

namespace throughcure::cure {

/// Below its brightest place the profile falls; where noise of the simulation says otherwise, neighbours are taken
/// together (their mean depth and mean logarithm), for the scraped length is looked for from the deep end.
MouldProfile falling(const MouldProfile& noisy);

}  // namespace throughcure::cure
