// What a practice prints: labels, a room's log, the month's report, each as a PDF.
#pragma once

#include <vector>

#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

std::vector<Route> print_routes(const RecordsDesk& desk);

}  // namespace throughcure::service
