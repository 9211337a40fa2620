// Reading the part of a case file that says which light, what it gives today, and what is drawn over its tip.
#pragma once

#include <optional>

#include "throughcure/base/sourced.hpp"
#include "throughcure/exchange/case_files.hpp"
#include "throughcure/exchange/toml_document.hpp"
#include "throughcure/optics/light.hpp"

namespace throughcure::exchange {

struct CaseLight {
  std::optional<optics::Light> light;  ///< nothing where its file could not be read
  base::Sourced output_share;          ///< today's radiant power over the light's stated one
  base::Sourced barrier_pass;          ///< share that the barrier lets through [0..1]
};

/// Reads [light]. What its numbers do not say of their worth is taken from `otherwise`.
CaseLight read_case_light(const TomlTable& root, const base::Provenance& otherwise, NamedFiles& files);

}  // namespace throughcure::exchange
