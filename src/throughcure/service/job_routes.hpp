// Jobs over HTTP: asking how far one is, and stopping it.
#pragma once

#include <string>
#include <vector>

#include "throughcure/service/jobs.hpp"
#include "throughcure/service/router.hpp"

namespace throughcure::service {

/// GET and DELETE /api/jobs/{name}, for the jobs of whoever is signed in. `jobs` must outlive the routes.
std::vector<Route> job_routes(Jobs& jobs);

/// The name of a state in the API.
std::string_view state_name(JobState state);

/// {"state", "share_done", "doing", "why", "result"}: the result is the job's own document, null until it is done.
std::string to_json(const JobView& view);

}  // namespace throughcure::service
