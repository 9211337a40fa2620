// Planning a restoration over HTTP: the cases of the data folder, what can be chosen, verdicts, why, meshes, files.
#pragma once

#include <memory>
#include <vector>

#include "throughcure/service/jobs.hpp"
#include "throughcure/service/plan_room.hpp"
#include "throughcure/service/router.hpp"

namespace throughcure::service {

/// `jobs` must outlive the routes. Verdicts are worded by `policy`, asked each time; none: by what the room knows.
std::vector<Route> plan_routes(const std::shared_ptr<PlanRoom>& room, Jobs& jobs, PolicyInForce policy = {});

}  // namespace throughcure::service
