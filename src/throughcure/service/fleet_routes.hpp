// The practice's lights over HTTP: the list, a light's page, what is done with it, and the page of the day.
#pragma once

#include <vector>

#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// /api/fleet... and /api/today.
std::vector<Route> fleet_routes(const RecordsDesk& desk);

}  // namespace throughcure::service
