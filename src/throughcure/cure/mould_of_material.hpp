// The scrape test's mould as any draw of a material has it: bands, initiators and the light's own tip put together.
#pragma once

#include <cstdint>
#include <vector>

#include "throughcure/base/parallel.hpp"
#include "throughcure/cure/draw.hpp"
#include "throughcure/cure/mould_light.hpp"
#include "throughcure/cure/scrape.hpp"
#include "throughcure/optics/bands.hpp"
#include "throughcure/optics/light.hpp"

namespace throughcure::cure {

/// A resin in one band of a light, nominal.
struct ResinInBand {
  double mean_nm = 0;                    ///< of the light's power in the band
  optics::OpticalProperties properties;  ///< of the resin there
  double initiators_per_mm = 0;          ///< what of its absorption is its initiators' [1/mm]
};
ResinInBand resin_in_band(const optics::Light& light, const Material& material, const optics::Band& window);

/// A band of one light in one material.
struct BandInMaterial {
  optics::Band window{};
  double mean_nm = 0;           ///< of the light's power in the band
  double power_share = 0;       ///< of the light's radiant power [0..1]
  double initiator_weight = 0;  ///< what a fluence rate here is worth, in that of light at camphorquinone's peak [1]
  double mua_per_mm = 0;        ///< of the nominal material
  double reduced_scattering_per_mm = 0;
};

/// The bands of a light that can cure a material; empty when none can. `initiator_weight` is what all initiators absorb
/// in the band over what camphorquinone absorbs at 468 nm (where there is none: over the most that they absorb in any
/// band). That each absorbed photon starts as much whatever the initiator is a simplification.
std::vector<BandInMaterial> bands_in_material(const optics::Light& light, const Material& material);

/// How much to compute.
struct MouldEffort {
  std::uint64_t photons = 100'000;  ///< for each scattering of the grid
  std::uint64_t seed = 1;
};

/// The mould over all that prior draws of `source` can be, lit by `light` at `standoff_mm`. Fluence rates are per unit
/// of radiant exitance, weighted by initiator as the rate law wants them. Throws base::InputError when no band of the
/// light can cure the material.
MouldOf mould_of_material(const DrawSource& source, const optics::Light& light, double standoff_mm,
                          const MouldEffort& effort, const base::Running& running);

/// The light that a fact is taken to have been found with when it says only an irradiance: blue, one narrow peak at
/// 460 nm, even over a tip of 8 mm, radiance halved at 20 degrees (kind: common practice, no source).
optics::Light usual_test_light();

}  // namespace throughcure::cure
