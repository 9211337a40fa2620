// As few of a light's readings as say how its last ones stand.
#pragma once

#include "throughcure/desk/light_record.hpp"

namespace throughcure::desk {

/// The record with the first reading of each series, which is its baseline, and the last ones; without services' notes
/// and papers. `judged` says of the readings that are left, and of those that come after them, what it says of them in
/// the whole record, to the bit: a series begins with the same reading, and shares are of that one.
LightRecord gist_of(const LightRecord& record);

}  // namespace throughcure::desk
