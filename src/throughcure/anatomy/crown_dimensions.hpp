// The sizes of a tooth's crown: what a tooth is put together from.
#pragma once

#include "throughcure/base/sourced.hpp"

namespace throughcure::anatomy {

/// Average sizes of the crowns of one class in one arch, all in mm; depths are counted from the cusp tips (or the
/// incisal edge) towards the root. A tooth without fossa has 0 for cusp_height and enamel_in_fossa.
struct CrownDimensions {
  base::Sourced crown_length;         ///< cusp tips to the cervical line
  base::Sourced mesiodistal;          ///< greatest, at the contact
  base::Sourced mesiodistal_cervix;   ///< at the cervical line
  base::Sourced buccolingual;         ///< greatest
  base::Sourced buccolingual_cervix;  ///< at the cervical line
  base::Sourced cusp_height;          ///< cusp tips to the bottom of the central fossa
  base::Sourced enamel_at_cusp;       ///< thickness over the cusps or the edge
  base::Sourced enamel_in_fossa;      ///< thickness under the central fossa
  base::Sourced enamel_at_side;       ///< greatest thickness at the sides; runs out at the cervical line
  base::Sourced pulp_roof;            ///< cusp tips to the ceiling of the pulp chamber
  base::Sourced pulp_height;          ///< ceiling to floor of the chamber
  base::Sourced pulp_horn;            ///< how far the horns rise above the ceiling
  base::Sourced pulp_mesiodistal;     ///< width of the chamber
  base::Sourced pulp_buccolingual;    ///< width of the chamber
};

}  // namespace throughcure::anatomy
