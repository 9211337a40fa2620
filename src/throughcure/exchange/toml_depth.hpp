// How deep the keys of a TOML text go, found before any parser builds a table for each of their parts.
#pragma once

#include <cstddef>
#include <string_view>

namespace throughcure::exchange {

/// The dots of the longest dotted key of the text, which may be wrong TOML: then no key has more than this. A number in
/// an array may count its point.
std::size_t most_dots_of_a_key(std::string_view toml);

}  // namespace throughcure::exchange
