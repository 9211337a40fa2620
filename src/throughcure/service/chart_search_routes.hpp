// Finding restorations by their chart number. It comes in a body: addresses are written down on the way.
#pragma once

#include <vector>

#include "throughcure/service/buckets.hpp"
#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// Searches of one person (common practice, no source).
inline constexpr BucketRules kChartSearches{.burst = 30, .pace = std::chrono::seconds(10)};

/// /api/restoration-search; `searches` are counted by account, and must outlive the routes.
std::vector<Route> chart_search_routes(const RecordsDesk& desk, Buckets& searches);

}  // namespace throughcure::service
