// Planning a restoration over HTTP: the cases of the data folder, what can be chosen, verdicts, why, meshes, files.
#pragma once

#include <filesystem>
#include <vector>

#include "throughcure/plan/ground.hpp"
#include "throughcure/service/jobs.hpp"
#include "throughcure/service/router.hpp"

namespace throughcure::service {

/// `jobs` must outlive the routes.
std::vector<Route> plan_routes(const std::filesystem::path& data_folder, plan::Knowledge knowledge, Jobs& jobs);

}  // namespace throughcure::service
