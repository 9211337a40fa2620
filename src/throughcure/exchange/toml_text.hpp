// Plain values written as TOML that a person likes to read.
#pragma once

#include <string>

#include "throughcure/exchange/plain_value.hpp"

namespace throughcure::exchange {

/// The document as TOML, in its order: a [heading] for each table and a [[heading]] for each table of a list; a table
/// that holds nothing but tables has none of its own, only they have. What lies deeper, a table with a key `value`, and
/// one before a value that is no table, stands on one line. A whole number stays one, and any other says so by a point
/// or an exponent.
std::string toml_text(const PlainTable& document);

}  // namespace throughcure::exchange
