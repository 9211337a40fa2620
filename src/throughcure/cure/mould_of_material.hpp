// The scrape test's mould as any draw of a material has it: bands, initiators and the light's own tip put together.
#pragma once

#include <cstdint>

#include "throughcure/base/parallel.hpp"
#include "throughcure/cure/bands_in_material.hpp"
#include "throughcure/cure/draw.hpp"
#include "throughcure/cure/mould_light.hpp"
#include "throughcure/cure/scrape.hpp"
#include "throughcure/cure/usual_test_light.hpp"
#include "throughcure/optics/light.hpp"

namespace throughcure::cure {

/// How much to compute.
struct MouldEffort {
  std::uint64_t photons = 100'000;  ///< for each scattering of the grid
  std::uint64_t seed = 1;
};

/// The mould over all that prior draws of `source` can be, lit by `light` at `standoff_mm`. Fluence rates are per unit
/// of radiant exitance, weighted by initiator as the rate law wants them. Where `source.mould_table` answers, it is
/// looked up there (the effort then does not matter); otherwise simulated. Throws base::InputError when no band of the
/// light can cure the material.
MouldOf mould_of_material(const DrawSource& source, const optics::Light& light, double standoff_mm,
                          const MouldEffort& effort, const base::Running& running);

}  // namespace throughcure::cure
