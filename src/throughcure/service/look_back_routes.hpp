// Look-backs over HTTP: which restorations are in doubt, how much, and what was decided.
#pragma once

#include <memory>
#include <vector>

#include "throughcure/service/door_routes.hpp"
#include "throughcure/service/jobs.hpp"
#include "throughcure/service/plan_room.hpp"
#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// What recomputing needs: where the lights' and materials' files lie, what is known of them, the queue.
struct Recomputing {
  std::shared_ptr<PlanRoom> room;
  Jobs* jobs = nullptr;
};

/// /api/look-backs... What is pointed to must outlive the routes.
std::vector<Route> look_back_routes(const RecordsDesk& desk, Door& door, const Recomputing& recomputing);

}  // namespace throughcure::service
