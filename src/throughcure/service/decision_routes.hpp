// What is decided about restorations in doubt, over HTTP.
#pragma once

#include "throughcure/service/door_routes.hpp"
#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// POST /api/look-backs/{id}/decisions: a list under one signature, all of it or nothing. What is pointed to must
/// outlive the route.
Route decisions_route(const RecordsDesk& desk, Door& door);

}  // namespace throughcure::service
