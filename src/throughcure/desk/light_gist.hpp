// As few of a light's readings as say how its last ones stand, and what its charts and its battery say.
#pragma once

#include <vector>

#include "throughcure/desk/light_record.hpp"
#include "throughcure/fleet/alarms.hpp"

namespace throughcure::desk {

struct LightGist {
  LightRecord record;                      ///< without services' notes and papers
  std::vector<fleet::ChartsStart> starts;  ///< of each series that is left, for fleet::charted_output
};

/// The record with the first reading of each series, which is its baseline, the last ones, those since its charts last
/// began, those that a reading at a low battery may be compared with, the last looks at its tips and vents, and what
/// does not count since the last one that does. `judged` says of the readings that are left, and of those that come
/// after them, what it says of them in the whole record, to the bit: a series begins with the same reading, and shares
/// are of that one. So does fleet::charted_output of alarms that stand and of the battery.
LightGist gist_of(const LightRecord& record);

}  // namespace throughcure::desk
