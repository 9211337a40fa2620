// Reading a number together with its kind and its source, and refusing one that has neither.
#pragma once

#include <optional>
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

/// The same for a table that is such a number itself; it may hold more (at what wavelength).
base::Sourced sourced_number_here(const TomlTable& entry, const Limits& limits);

/// The `kind` and `source` of a table. A kind that needs a source and has none is a problem.
base::Provenance read_provenance(const TomlTable& table);

/// The same where both may be left out together, for what stands in `otherwise`.
base::Provenance read_provenance(const TomlTable& table, const base::Provenance& otherwise);

/// A number whose key carries its unit, as a practice writes it: `depth_mm = 2.8`, or with its range
/// `depth_mm = { value = 2.8, low = 2.6, high = 3.0 }` (and `sd`, `kind`, `source`, `note`). Nothing when the key is
/// not there. What is not said of its worth is taken from `otherwise`.
std::optional<base::Sourced> optional_ranged_number(const TomlTable& table, std::string_view path, const Limits& limits,
                                                    const base::Provenance& otherwise);
/// The same for a key that must be there.
base::Sourced ranged_number(const TomlTable& table, std::string_view path, const Limits& limits,
                            const base::Provenance& otherwise);

/// Everything in a reference file that has no provenance: a number outside a table with `kind` and `source`, a kind
/// that is no kind, an empty source where one is needed. Empty when all is well.
base::Problems numbers_without_provenance(std::string_view toml, std::string name);

}  // namespace throughcure::exchange
