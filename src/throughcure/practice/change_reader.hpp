// A change of the log from the bytes of its leaf.
#pragma once

#include <optional>
#include <string_view>

#include "throughcure/practice/change.hpp"

namespace throughcure::practice {

/// What leaf_bytes wrote; nothing where these bytes are no leaf of this version. leaf_bytes of it gives the same bytes.
std::optional<Change> change_from_leaf(std::string_view bytes);

}  // namespace throughcure::practice
