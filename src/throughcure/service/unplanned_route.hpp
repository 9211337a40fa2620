// Recording a restoration that was not planned: what was done, without a case and so without a chance.
#pragma once

#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// POST /api/unplanned-restorations. What is pointed to must outlive it.
Route unplanned_route(const RecordsDesk& desk);

}  // namespace throughcure::service
