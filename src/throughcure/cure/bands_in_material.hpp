// A light's bands as a material takes them: their share of the power, what they are worth to its initiators, and the
// resin's optics in each, for the nominal material and for any draw of it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "throughcure/cure/draw.hpp"
#include "throughcure/cure/resin_nodes.hpp"
#include "throughcure/cure/resin_table.hpp"
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

/// The same, one at least: throws base::InputError when no band of the light can cure the material.
std::vector<BandInMaterial> bands_that_cure(const optics::Light& light, const Material& material);

/// A draw's resin in a band [1/mm].
double mua_of(const BandInMaterial& band, const Draw& draw);
double reduced_scattering_of(const BandInMaterial& band, const Draw& draw);

/// All that prior draws of a material can be, in the bands of a light.
struct ResinSpans {
  Span mua_per_mm;
  Span reduced_scattering_per_mm;
  Span wall_reflectance;  ///< of the steel mould
};
/// Over the first 512 prior draws of this seed.
ResinSpans spans_of_draws(const DrawSource& source, const std::vector<BandInMaterial>& bands, std::uint64_t seed);
/// Nodes over them, with the material's n and g: seven mua, five mus'.
ResinGrid grid_of_draws(const DrawSource& source, const std::vector<BandInMaterial>& bands, std::uint64_t seed);

}  // namespace throughcure::cure
