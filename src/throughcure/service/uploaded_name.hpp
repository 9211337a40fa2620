// The name of a file that came as the body of a request.
#pragma once

#include <string>

#include "throughcure/service/router.hpp"

namespace throughcure::service {

/// From the header x-file-name, percent-encoded. Throws base::InputError where it is missing, is no text, or names a
/// folder.
std::string uploaded_name(const Call& call);

}  // namespace throughcure::service
