// Attached files over HTTP: in as raw bytes, out as a download that no browser runs.
#pragma once

#include <vector>

#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// POST /api/attachments and GET /api/attachments/{id}.
std::vector<Route> attachment_routes(const RecordsDesk& desk);

}  // namespace throughcure::service
