// A practice's spreadsheets as records: a file is looked at, corrected in how it is read, and kept as a whole.
#pragma once

#include <vector>

#include "throughcure/service/import_drafts.hpp"
#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// `desk` should have a thread of its own: a file takes up to a second to look at and longer to keep. Both must outlive
/// the routes.
std::vector<Route> import_routes(const RecordsDesk& desk, ImportDrafts& drafts);

}  // namespace throughcure::service
