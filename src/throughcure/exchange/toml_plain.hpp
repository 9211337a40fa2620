// All of a TOML file as plain values.
#pragma once

#include "throughcure/exchange/plain_value.hpp"
#include "throughcure/exchange/toml_state.hpp"

namespace throughcure::exchange {

/// In the order of the file's lines. What is no plain value adds a problem to the file and is left out.
PlainTable plain_table(TomlState& state);

}  // namespace throughcure::exchange
