// Reading a number together with its kind and its source, and refusing one that has neither.
#pragma once

#include <string>
#include <string_view>

#include "throughcure/base/problem.hpp"
#include "throughcure/base/sourced.hpp"
#include "throughcure/exchange/toml_document.hpp"

namespace throughcure::exchange {

/// Reads the table at `path`: `{ value, unit, kind, source }` and optionally `low`, `high`, `sd`, `note`. All numbers
/// keep to `limits`; the unit written must be `limits.unit` ("1" where that is empty); low <= value <= high. What is
/// wrong becomes a problem of the document; the result is then a stand-in.
base::Sourced sourced_number(const TomlTable& table, std::string_view path, const Limits& limits);
std::optional<base::Sourced> optional_sourced_number(const TomlTable& table, std::string_view path,
                                                     const Limits& limits);

/// The `kind` and `source` of a table. A kind that needs a source and has none is a problem.
struct Provenance {
  base::Kind kind = base::Kind::kInvented;
  std::string source;
};
Provenance read_provenance(const TomlTable& table);

/// Everything in a reference file that has no provenance: a number outside a table with `kind` and `source`, a kind
/// that is no kind, an empty source where one is needed. Empty when all is well.
base::Problems numbers_without_provenance(std::string_view toml, std::string name);

}  // namespace throughcure::exchange
