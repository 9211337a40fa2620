#include "throughcure/service/answer_by_job.hpp"

#include <memory>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/service/job_routes.hpp"
#include "throughcure/service/pages.hpp"

namespace throughcure::service {

namespace {

/// What became of the work: the job queue knows done and failed, the asker wants to know whose fault it was.
struct Outcome {
  int status = 200;
  std::string sentence;
};

/// Given up before it was done, as was asked for: no refusal, for nothing went wrong.
Response given_up(JobState state) {
  return text_response(200, "application/json", R"({"given_up":")" + std::string(state_name(state)) + "\"}\n");
}

Response answer_of(const JobView& view, const Outcome& outcome, bool dragged) {
  if (view.state == JobState::done && outcome.status == 200) {
    return text_response(200, "application/json", view.result);
  }
  if (view.state == JobState::done) return refusal_json(outcome.status, outcome.sentence);
  if (view.state == JobState::failed) return refusal_json(500, view.why);
  if (dragged) return given_up(view.state);
  return refusal_json(503, "The work was stopped before it was done.");
}

}  // namespace

Handler answer_by_job(Jobs& jobs, std::function<std::string(const Call&, const base::Running&)> work,
                      std::string drag) {
  return [&jobs, work = std::move(work), drag = std::move(drag)](Call call, const Reply& reply) {
    const auto outcome = std::make_shared<Outcome>();
    const std::string person = call.session.value_or(Session{}).person;
    const auto shared_call = std::make_shared<const Call>(std::move(call));
    const auto name = jobs.submit({person, drag,
                                   [work, shared_call, outcome](const base::Running& running) -> std::string {
                                     try {
                                       return work(*shared_call, running);
                                     } catch (const base::InputError& error) {
                                       *outcome = {422, error.what()};
                                     } catch (const NotFound& error) {
                                       *outcome = {404, error.what()};
                                     }
                                     return {};
                                   },
                                   [reply, outcome, dragged = !drag.empty()](const JobView& view) {
                                     reply(answer_of(view, *outcome, dragged));
                                   }});
    if (!name) reply(refusal_json(429, "Too much is being worked out already. Try again in a moment."));
  };
}

}  // namespace throughcure::service
