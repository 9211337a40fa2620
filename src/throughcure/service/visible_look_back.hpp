// The look-back that an address names.
#pragma once

#include "throughcure/practice/look_back.hpp"
#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// The look-back at "{id}" of the path. Throws desk::Missing where there is none, or it is of a site that whoever asks
/// may not see.
store::Kept<practice::LookBack> visible_look_back(const store::Reader& reader, const Call& call);

}  // namespace throughcure::service
