// One draw of everything about a material that is not known: its rate law and its optics, from the priors.
#pragma once

#include <cstdint>
#include <memory>

#include "throughcure/base/sourced.hpp"
#include "throughcure/cure/kinetics.hpp"
#include "throughcure/cure/leaning.hpp"
#include "throughcure/cure/material.hpp"
#include "throughcure/cure/priors.hpp"
#include "throughcure/optics/medium.hpp"

namespace throughcure::cure {

struct Draw {
  std::uint64_t id = 0;
  RateLaw law{};                               ///< `law.dark.gel` is X_g, the conversion that a spatula finds
  optics::VioletBlue absorption_factor{1, 1};  ///< mua of this draw over the material's nominal mua
  optics::VioletBlue scattering_factor{1, 1};  ///< mus' of this draw over the nominal one; n and g stay
  double mould_reflectance = 0;                ///< share of light that the wall of a steel mould sends back [0..1]
  double reading_z = 0;                        ///< how far, in its sd, a fact's reading lies from the truth here
};

/// What a number might be: its value at u = 1/2 or near it. Rising in u, u in (0, 1).
/// Low and high given: triangular between them with its mode at the value. Only sd: normal, cut at 3 sd.
/// Neither: the value.
double drawn(const base::Sourced& number, double u);

struct MouldTable;  // mould_table.hpp

/// What draws of one material are made from.
struct DrawSource {
  Priors priors;
  Material material;
  base::Sourced mould_reflectance;                     ///< [0..1]
  std::shared_ptr<const MouldTable> mould_table = {};  ///< none: every mould is simulated
};

/// Draw `id`: its values depend on the seed, the id and the source alone. p is uniform over its range, k_ref lognormal
/// with its range as the middle 90 %, the rest as `drawn` says; violet and blue of one coefficient go together.
/// Nothing is conditioned yet (ensemble.hpp).
Draw prior_draw(const DrawSource& source, std::uint64_t seed, std::uint64_t id);

/// The same draw with its uniform numbers taken where `leaning` wants them, and where they fell.
struct LeaningDraw {
  Draw draw;
  Fell fell;
};
LeaningDraw leaning_draw(const DrawSource& source, std::uint64_t seed, std::uint64_t id, const Leaning& leaning);

/// Prior of p times the attenuation of the mould [1/mm] for this class: a bulk-fill attenuates less, by the ratio of
/// the two priors of attenuation.
base::Sourced slope_prior(const Priors& priors, MaterialClass material_class);

}  // namespace throughcure::cure
