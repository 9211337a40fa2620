// Reading the modes of a light: their course and their buttons.
#pragma once

#include <vector>

#include "throughcure/exchange/toml_document.hpp"
#include "throughcure/optics/mode.hpp"

namespace throughcure::exchange {

/// Every [[mode]] of the file, at least one; what is wrong becomes a problem of the document.
std::vector<optics::Mode> read_modes(const TomlTable& root);

}  // namespace throughcure::exchange
