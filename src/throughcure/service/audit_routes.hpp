// The audit log over HTTP: read in pieces, and exported.
#pragma once

#include <vector>

#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// /api/audit...
std::vector<Route> audit_routes(const RecordsDesk& desk);

}  // namespace throughcure::service
