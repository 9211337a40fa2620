#include "served_routes.hpp"

#include <algorithm>
#include <iterator>
#include <memory>

#include "throughcure/exchange/knowledge.hpp"
#include "throughcure/service/job_routes.hpp"
#include "throughcure/service/light_routes.hpp"
#include "throughcure/service/plan_routes.hpp"

namespace throughcure::apps {

std::vector<service::Route> served_routes(service::PracticeDesk& practice, const service::SiteSettings& settings,
                                          const std::filesystem::path& folder, service::Jobs& jobs) {
  std::vector<service::Route> routes = service::light_routes(folder, jobs);
  const auto room = std::make_shared<service::PlanRoom>(folder, exchange::knowledge());
  std::ranges::move(practice.routes(settings, room, jobs), std::back_inserter(routes));
  std::ranges::move(service::job_routes(jobs), std::back_inserter(routes));
  std::ranges::move(service::plan_routes(room, jobs, practice.policy_in_force(*room)), std::back_inserter(routes));
  return routes;
}

}  // namespace throughcure::apps
