// Recording a restoration where it was planned: what is chosen from the practice's own lights and pastes, and what was
// done, with its case and the verdict on it.
#pragma once

#include <memory>
#include <vector>

#include "throughcure/service/jobs.hpp"
#include "throughcure/service/plan_room.hpp"
#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// /api/restoration-sheet and /api/plan/record. What is pointed to, and `jobs`, must outlive the routes.
std::vector<Route> restoration_routes(const RecordsDesk& desk, const std::shared_ptr<PlanRoom>& room, Jobs& jobs);

}  // namespace throughcure::service
