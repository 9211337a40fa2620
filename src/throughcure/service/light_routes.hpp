// The lights of the data folder, over HTTP. Files are read and beams worked out in jobs, never on an HTTP thread.
#pragma once

#include <filesystem>
#include <vector>

#include "throughcure/service/jobs.hpp"
#include "throughcure/service/router.hpp"

namespace throughcure::service {

/// GET /api/lights and what belongs to it. `jobs` must outlive the routes.
std::vector<Route> light_routes(const std::filesystem::path& data_folder, Jobs& jobs);

}  // namespace throughcure::service
