// The map of a beam: the tip's circle, how bright each place is, isolines with their numbers, a millimetre rule.
#pragma once

#include <optional>
#include <string>

#include "throughcure/draw/picture.hpp"
#include "throughcure/optics/beam_image.hpp"
#include "throughcure/optics/local_irradiance.hpp"

namespace throughcure::draw {

/// What a map shows.
struct BeamMapInput {
  std::string heading;   ///< the light's name
  std::string sentence;  ///< what the picture shows; broken into lines as it needs
  double tip_diameter_mm = 0;
  optics::BeamImage mw_cm2;              ///< the tip's plane [mW/cm2]
  std::optional<optics::Spots> spots{};  ///< ringed and named unless they are alike within 2 %
  double below_mw_cm2 = 0;               ///< > 0: this isoline is drawn too, and heavier
};

/// A sheet 100 mm wide. Brightness goes from ink (none) to white (the largest value on the tip, fine noise smoothed
/// out: means over a 160th of the tip's diameter). Isolines stand at round steps, six at most; a tip that is even
/// within 2 % has one number in its middle instead. They end short of the tip's edge, where all of them would run
/// together, and specks are left out. Places beyond 1.12 tip radii are left out.
Picture beam_map(const BeamMapInput& input);

}  // namespace throughcure::draw
