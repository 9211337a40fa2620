// What the light gave over the time of a look-back, as its page draws it.
#pragma once

#include <string>

#include "throughcure/service/opened_look_back.hpp"

namespace throughcure::service {

/// A JSON object: the course day by day with its 80 % interval, step and decline as alternatives, what was read and
/// what was done in that time; all of it as the radiometer shows it that the limit is told by. Without a good check it
/// begins at `otherwise`.
std::string course_json(const OpenedLookBack& all, base::Instant otherwise);

}  // namespace throughcure::service
