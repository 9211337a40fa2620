// Checks over HTTP: the sheet that a phone keeps, and the checks that it sends, at once or later.
#pragma once

#include <vector>

#include "throughcure/service/records_desk.hpp"
#include "throughcure/service/tickets.hpp"

namespace throughcure::service {

/// /api/check-sheet and /api/checks.
std::vector<Route> check_routes(const RecordsDesk& desk, const TicketKey& key);

}  // namespace throughcure::service
