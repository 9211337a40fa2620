// What a reading must be like before it is kept, wherever it comes from: the rules of its fields, and those between
// them.
#pragma once

#include <optional>

#include "throughcure/base/problem.hpp"
#include "throughcure/fleet/reading_entry.hpp"

namespace throughcure::desk {

/// All that is wrong with it. `tip_of` is the light that its tip belongs to, where the tip is known.
base::Problems reading_problems(const fleet::ReadingEntry& reading, const std::optional<base::LightId>& tip_of,
                                base::Instant now);

}  // namespace throughcure::desk
