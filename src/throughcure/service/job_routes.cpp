#include "throughcure/service/job_routes.hpp"

#include <nlohmann/json.hpp>

#include "throughcure/service/pages.hpp"

namespace throughcure::service {

namespace {

constexpr std::string_view kNoJob = "There is no such job any more. Start it again.";

std::string person_of(const Call& call) { return call.session.value_or(Session{}).person; }

Response show(const Call& call, const Jobs& jobs) {
  const auto view = jobs.view(call.parameters.at("name"), person_of(call));
  if (!view) return refusal_json(404, kNoJob);
  return text_response(200, "application/json", to_json(*view));
}

Response stop(const Call& call, Jobs& jobs) {
  const std::string& name = call.parameters.at("name");
  if (!jobs.view(name, person_of(call))) return refusal_json(404, kNoJob);
  jobs.cancel(name, person_of(call));  // one that is over stays as it is
  return {204, {}, {}};
}

}  // namespace

std::vector<Route> job_routes(Jobs& jobs) {
  std::vector<Route> routes;
  routes.push_back({Method::get, "/api/jobs/{name}", Access::signed_in, "How far a job is, and what it made.",
                    at_once([&jobs](const Call& call) { return show(call, jobs); }), true, "", "Job"});
  routes.push_back({Method::del, "/api/jobs/{name}", Access::signed_in, "Stops a job.",
                    at_once([&jobs](const Call& call) { return stop(call, jobs); })});
  return routes;
}

std::string_view state_name(JobState state) {
  switch (state) {
    case JobState::waiting:
      return "waiting";
    case JobState::running:
      return "running";
    case JobState::done:
      return "done";
    case JobState::failed:
      return "failed";
    case JobState::stopped:
      return "stopped";
    case JobState::superseded:
      break;
  }
  return "superseded";
}

std::string to_json(const JobView& view) {
  const nlohmann::json head{
      {"state", state_name(view.state)}, {"share_done", view.share_done}, {"doing", view.doing}, {"why", view.why}};
  std::string out = head.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
  // The result is JSON already, and may be large: it is set in as it is.
  out.back() = ',';
  return out + "\"result\":" + (view.result.empty() ? "null" : view.result) + "}\n";
}

}  // namespace throughcure::service
