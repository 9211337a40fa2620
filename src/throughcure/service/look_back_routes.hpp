// Look-backs over HTTP: which restorations are in doubt, how much, and what was decided.
#pragma once

#include <filesystem>
#include <vector>

#include "throughcure/plan/ground.hpp"
#include "throughcure/service/door_routes.hpp"
#include "throughcure/service/jobs.hpp"
#include "throughcure/service/look_back_results.hpp"
#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// What recomputing needs: where the lights' and materials' files lie, what is known of them, the queue, the results.
struct Recomputing {
  std::filesystem::path data_folder;
  plan::Knowledge knowledge;
  Jobs* jobs = nullptr;
  LookBackResults* results = nullptr;
};

/// /api/look-backs... What is pointed to must outlive the routes.
std::vector<Route> look_back_routes(const RecordsDesk& desk, Door& door, const Recomputing& recomputing);

}  // namespace throughcure::service
