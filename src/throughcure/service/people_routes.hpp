// The people of the practice over HTTP: their roles, and the codes by which they come in.
#pragma once

#include <vector>

#include "throughcure/service/door_routes.hpp"
#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// /api/people...
std::vector<Route> people_routes(const RecordsDesk& desk, Door& door);

}  // namespace throughcure::service
