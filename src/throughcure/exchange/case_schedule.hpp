// Reading the exposures of a case file.
#pragma once

#include <optional>
#include <vector>

#include "throughcure/exchange/case_site.hpp"
#include "throughcure/exchange/toml_document.hpp"
#include "throughcure/optics/light.hpp"
#include "throughcure/plan/case.hpp"

namespace throughcure::exchange {

/// Reads every [[exposure]]; what is wrong becomes a problem of the document. Modes and buttons are only looked at
/// where there is a light.
std::vector<plan::Exposure> read_case_schedule(const TomlTable& root, const CaseSite& site,
                                               const std::optional<optics::Light>& light);

}  // namespace throughcure::exchange
