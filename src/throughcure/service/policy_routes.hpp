// The values that a practice may choose, over HTTP.
#pragma once

#include <vector>

#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// /api/policy...
std::vector<Route> policy_routes(const RecordsDesk& desk);

}  // namespace throughcure::service
