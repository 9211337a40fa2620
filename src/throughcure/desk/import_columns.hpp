// Which column of a spreadsheet is probably which field, by the words that name it.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/desk/import_fields.hpp"

namespace throughcure::desk {

/// For each field of the kind the column that is probably meant; none where no name says so. A column serves one field.
/// Names are compared without case, units and marks: the same words first, then close spellings, then names that hold
/// the words among others.
std::map<std::string_view, std::optional<std::size_t>> suggested_columns(ImportKind kind,
                                                                         const std::vector<std::string>& names);

}  // namespace throughcure::desk
