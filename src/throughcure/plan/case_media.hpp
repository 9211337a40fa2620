// The media of a case in each band of its light: nominal, and as one draw has them.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/cure/draw.hpp"
#include "throughcure/optics/bands.hpp"
#include "throughcure/plan/case.hpp"
#include "throughcure/transport/medium.hpp"

namespace throughcure::plan {

/// A window of the light that cures at least one of the case's materials.
struct CaseBand {
  optics::Band window{};
  double mean_nm = 0;
  double power_share = 0;       ///< of the light's radiant power [0..1]
  std::vector<double> weights;  ///< by material: what a fluence rate here is worth (cure::BandInMaterial); 0 for none
};

/// Throws base::InputError when a material of the case cannot be cured by its light at all.
std::vector<CaseBand> bands_of(const Case& c);

/// Nominal media by MediumId of the site's scenes, the same in every state.
transport::Media media_of(const Case& c, const anatomy::Scene& scene, const CaseBand& band);

/// What of a tooth one draw has: added absorption and factors of scattering, by tissue.
struct TissueDraw {
  double mua_more_per_mm = 0;
  double scattering_factor = 1;
};

/// One draw of all that is not known about a case, the hand aside.
struct CaseDraw {
  std::vector<cure::Draw> materials;  ///< by material
  TissueDraw enamel{};
  TissueDraw dentine{};
  TissueDraw pulp{};
  TissueDraw gingiva{};
  double band_reflectance_factor = 1;  ///< of a metal band, over its nominal one
  double power_mw = 0;                 ///< behind the barrier, today
  double hardness_slope = 0.525;       ///< of the hardness relation
};

/// Draws everything but the materials: `id` counts from 0.
CaseDraw draw_of_case(const Case& c, const base::Sourced& hardness_slope, std::uint64_t seed, std::uint64_t id);

/// The media of one draw in one band.
transport::Media media_of_draw(const Case& c, const anatomy::Scene& scene, const CaseBand& band,
                               const transport::Media& nominal, const CaseDraw& draw);

/// Which media are increments, by MediumId.
std::vector<bool> increments_among(const Case& c, std::size_t media);

/// The power at the tip with the light's claim, today's share of it and the barrier at their values [mW].
double nominal_power_mw(const Case& c);

}  // namespace throughcure::plan
