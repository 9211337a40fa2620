// What a reading must be like before it is kept, wherever it comes from: the rules of its fields, and those between
// them.
#pragma once

#include <chrono>
#include <optional>

#include "throughcure/base/instant.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/fleet/reading_entry.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

/// Whether an instant lies ahead, by more than clocks may be off: a day. Common practice, no source.
constexpr bool lies_ahead(base::Instant at, base::Instant now) { return at > now + std::chrono::hours(24); }

/// All that is wrong with it. `tip_of` is the light that its tip belongs to, where the tip is known.
base::Problems reading_problems(const fleet::ReadingEntry& reading, const std::optional<base::LightId>& tip_of,
                                base::Instant now);

/// Throws base::InputError where it lies ahead of a clock that is behind its own log: then it is not the phone's that
/// is to be set.
void must_not_lie_ahead_of_a_slow_clock(const store::Reader& reader, const fleet::ReadingEntry& reading,
                                        base::Instant now);

}  // namespace throughcure::desk
