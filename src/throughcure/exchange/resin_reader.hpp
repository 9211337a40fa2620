// The optical part of a material file: what it says, and the class's priors for what it does not say.
#pragma once

#include "throughcure/base/sourced.hpp"
#include "throughcure/cure/material.hpp"
#include "throughcure/exchange/toml_document.hpp"
#include "throughcure/optics/medium.hpp"

namespace throughcure::exchange {

/// Reads [optics] (it may be missing), [[initiator]] (one or more) and `material.depth_of_shade` from the root of a
/// material file. Problems go to the file. `otherwise` is the worth of a number that says nothing of its own.
///
/// What is not given: refractive index, scattering, volume fraction and density from the class; absorption without the
/// initiators from the class, so that the attenuation is the class's times the factor of the shade's depth; in the
/// violet the absorption that makes the attenuation exceed the blue one by the published difference (in what scatters).
optics::ResinOptics read_resin(const TomlTable& root, cure::MaterialClass material_class,
                               const base::Provenance& otherwise);

}  // namespace throughcure::exchange
