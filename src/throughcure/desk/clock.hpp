// Whether the clock of this computer can be right, by what its own log says.
#pragma once

#include <string>

#include "throughcure/base/instant.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

/// A sentence, with what to do, where a change of the log's end lies ahead of now by more than a minute (common
/// practice, no source): the clock was set back, or was ahead then. Else empty.
std::string clock_behind(const store::Reader& reader, base::Instant now);

}  // namespace throughcure::desk
