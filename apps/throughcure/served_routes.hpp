// Every address at which the program answers, beside those that a site has by itself.
#pragma once

#include <filesystem>
#include <vector>

#include "throughcure/service/jobs.hpp"
#include "throughcure/service/practice_desk.hpp"
#include "throughcure/service/router.hpp"
#include "throughcure/service/site.hpp"

namespace throughcure::apps {

/// The routes over a practice's records and over the files of its folder. `practice` and `jobs` must outlive them.
std::vector<service::Route> served_routes(service::PracticeDesk& practice, const service::SiteSettings& settings,
                                          const std::filesystem::path& folder, service::Jobs& jobs);

}  // namespace throughcure::apps
