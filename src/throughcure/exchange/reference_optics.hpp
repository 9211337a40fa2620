// The embedded reference as the structs that the physics uses: initiators, tissues, priors of material classes. Each
// file is read once, at the first question.
#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

#include "throughcure/base/sourced.hpp"
#include "throughcure/cure/material.hpp"
#include "throughcure/optics/initiator.hpp"
#include "throughcure/optics/medium.hpp"

namespace throughcure::exchange {

/// Every initiator of reference/initiators.toml, in the file's order.
const std::vector<optics::Initiator>& reference_initiators();

/// Enamel, dentine, pulp and gingiva of reference/tissues.toml.
const optics::Tissues& reference_tissues();

/// What else stands around a cavity, of reference/matrices.toml.
struct Surrounds {
  optics::TissueOptics wedge;
  optics::TissueOptics dam;
  optics::TissueOptics clear_band;
};
const Surrounds& reference_surrounds();

/// What is known of a class's optics before anything is known of the material itself: reference/composites.toml.
struct ClassOptics {
  base::Sourced n;
  base::Sourced g;
  base::Sourced resin_density_g_ml;
  base::Sourced resin_volume_fraction;
  base::Sourced scattering_blue_per_mm;  ///< mus' at 460 nm
  base::Sourced scattering_power;        ///< b of mus' = a lambda^-b
  base::Sourced rest_blue_per_mm;        ///< absorption without the initiators, medium shade
  /// By how much violet is attenuated more than blue [1/mm]; holds for what scatters.
  base::Sourced violet_minus_blue_per_mm;
};
const ClassOptics& reference_class_optics(cure::MaterialClass material_class);

enum class ShadeDepth : std::uint8_t { kLight, kMedium, kDark, kOpaque };
/// How much more than a medium shade this one attenuates, as a factor.
const base::Sourced& reference_shade_attenuation(ShadeDepth depth);

}  // namespace throughcure::exchange
