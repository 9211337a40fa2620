// A name that is not known, and the one its writer probably meant.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace throughcure::exchange {

/// Single-letter edits (insert, delete, replace) between two names.
/// Source: Levenshtein distance, by the usual two-row recurrence.
std::size_t edit_distance(std::string_view a, std::string_view b);

/// One sentence without its full stop that says what to write instead of `given`: the same quantity in another unit
/// ("Give it as diameter_mm: 1 cm is 10 mm"), a name that looks like it ("Did you mean diameter_mm"), or the list of
/// the names known there. `known` may be empty.
std::string remedy_for_unknown(std::string_view given, const std::vector<std::string>& known);

}  // namespace throughcure::exchange
