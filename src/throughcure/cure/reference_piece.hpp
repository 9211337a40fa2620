// The reference piece of the criterion: the light 0.2 to 0.5 mm under the open surface of a wide thick piece.
#pragma once

#include <cstdint>
#include <functional>

#include "throughcure/base/parallel.hpp"
#include "throughcure/cure/draw.hpp"
#include "throughcure/cure/hardness.hpp"
#include "throughcure/cure/mould_of_material.hpp"
#include "throughcure/cure/resin_table.hpp"
#include "throughcure/optics/angular_shape.hpp"
#include "throughcure/optics/light.hpp"

namespace throughcure::cure {

/// The irradiance on the reference piece [mW/cm2] (kind: common practice, no source). It matters because p is not 1:
/// the same 24 J/cm2 cure a little less when they come faster.
inline constexpr double kReferenceIrradiance_mw_cm2 = 1000;

/// The piece: a layer without end to its sides, lit evenly all over, on a black floor.
struct ReferenceForm {
  double from_mm = 0.2;  ///< depths over which the fluence rate is averaged
  double to_mm = 0.5;
  double thickness_mm = 10;
};

/// Light comes onto the surface as from a tip in contact that is wider than everything: at every place with the angular
/// shape of the light, through a film of air. The surface reflects by Fresnel, once from outside and at every return
/// from inside; what leaves is gone (the tip's own face sends nothing back). The table is of the mean fluence rate
/// between the form's depths per irradiance on the surface [1].
ResinTable simulate_reference(const ReferenceForm& form, const ResinGrid& grid, const optics::AngularShape& shape,
                              std::uint64_t photons, std::uint64_t seed, const base::Running& running);

/// Fluence rate at the reference depth for each unit of irradiance on the surface [1], for one draw; weighted by
/// initiator like the mould's, so that the rate constants agree.
using ReferenceOf = std::function<double(const Draw&)>;

/// The reference piece over all that prior draws of `source` can be, lit by `light`: of it the spectrum and the angular
/// shape count. `effort.photons` go to each of five scatterings; 3000 give 1.5 % (one standard error) or better.
/// Throws base::InputError when no band of the light can cure the material.
ReferenceOf reference_piece_of_material(const DrawSource& source, const optics::Light& light, const MouldEffort& effort,
                                        const base::Running& running);

/// What the piece gets: the criterion's radiant exposure (24 J/cm2) at the surface at `kReferenceIrradiance_mw_cm2`.
/// For `reference_conversion` (hardness.hpp).
ReferenceLight reference_light(const Criterion& criterion, double fluence_per_irradiance);

}  // namespace throughcure::cure
