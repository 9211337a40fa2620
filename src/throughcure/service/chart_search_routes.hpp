// Finding restorations by their chart number. It comes in a body: addresses are written down on the way.
#pragma once

#include <vector>

#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// /api/restoration-search
std::vector<Route> chart_search_routes(const RecordsDesk& desk);

}  // namespace throughcure::service
