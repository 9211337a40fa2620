// The site of the demo: a lower molar with a distal box, floor 6 mm below the cusps, a metal band, increments of 2 mm.
// Sizes are those of reference/crowns.toml, repeated here because this room reads no files; a test of `exchange` holds
// them together.
#pragma once

#include "throughcure/anatomy/restoration.hpp"

namespace throughcure::tests {

inline anatomy::CrownDimensions lower_molar() {
  const auto mm = [](double value) { return base::Sourced{.value = value, .unit = "mm"}; };
  return {.crown_length = mm(7.5),
          .mesiodistal = mm(11),
          .mesiodistal_cervix = mm(9),
          .buccolingual = mm(10.5),
          .buccolingual_cervix = mm(9),
          .cusp_height = mm(2.2),
          .enamel_at_cusp = mm(2.3),
          .enamel_in_fossa = mm(1.3),
          .enamel_at_side = mm(1.4),
          .pulp_roof = mm(6.36),
          .pulp_height = mm(1.57),
          .pulp_horn = mm(1),
          .pulp_mesiodistal = mm(4.4),
          .pulp_buccolingual = mm(3.8)};
}

inline anatomy::Site demo_site() {
  return {.tooth = *anatomy::ToothNumber::from_iso(36),
          .crown = lower_molar(),
          .cavity = {.occlusal = anatomy::OcclusalPart{.floor_below_cusps_mm = 4, .width_mm = 2.5, .length_mm = 5},
                     .mesial = {},
                     .distal = anatomy::ProximalBox{.floor_below_cusps_mm = 6, .width_mm = 4, .axial_depth_mm = 1.5},
                     .front = {}},
          .restoration = {.adhesive_mm = 0.05,
                          .increments = {{anatomy::Layering::kHorizontal, 2},
                                         {anatomy::Layering::kHorizontal, 2},
                                         {anatomy::Layering::kHorizontal, 2}},
                          .matrix = anatomy::Matrix{},
                          .wedge = true,
                          .dam = false},
          .mesial_neighbour = false,
          .distal_neighbour = true,
          .gingiva_crest_mm = {}};
}

}  // namespace throughcure::tests
