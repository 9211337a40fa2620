#include "throughcure/service/job_routes.hpp"

#include <future>
#include <thread>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "throughcure/base/problem.hpp"

namespace throughcure::service {
namespace {

using nlohmann::json;

class JobRoutes : public testing::Test {
 protected:
  Response ask(Method method, const std::string& name, const std::string& person = "ann") {
    const std::vector<Route> routes = job_routes(jobs_);
    Call call;
    call.parameters["name"] = name;
    call.session = Session{.member = {}, .person = person, .page_token = {}};
    Response answer;
    for (const Route& route : routes) {
      if (route.method == method) route.handler(call, [&answer](Response one) { answer = std::move(one); });
    }
    return answer;
  }

  std::promise<void> started_;
  std::promise<JobState> over_;
  Jobs jobs_;
};

TEST_F(JobRoutes, TellHowFarAJobIsAndStopIt) {
  const auto name = jobs_.submit({"ann", "",
                                  [this](const base::Running& running) -> std::string {
                                    running.progress(0.5, "tracing");
                                    started_.set_value();
                                    while (!running.stop.stop_requested()) std::this_thread::yield();
                                    throw base::Interrupted();
                                  },
                                  [this](const JobView& view) { over_.set_value(view.state); }});
  ASSERT_TRUE(name);
  started_.get_future().wait();
  const json running = json::parse(ask(Method::get, *name).body);
  EXPECT_EQ(running, json::parse(R"({"state": "running", "share_done": 0.5, "doing": "tracing", "why": "",
                                     "result": null})"));
  EXPECT_EQ(ask(Method::get, *name, "ben").status, 404) << "somebody else's";
  EXPECT_EQ(ask(Method::del, *name, "ben").status, 404);
  EXPECT_EQ(ask(Method::del, *name).status, 204);
  EXPECT_EQ(over_.get_future().get(), JobState::stopped);
  EXPECT_EQ(json::parse(ask(Method::get, *name).body)["state"], "stopped");
}

TEST_F(JobRoutes, HandOverTheResult) {
  const auto name = jobs_.submit({"ann", "", [](const base::Running&) { return std::string(R"({"a": [1, 2]})"); },
                                  [this](const JobView& view) { over_.set_value(view.state); }});
  over_.get_future().wait();
  const json done = json::parse(ask(Method::get, *name).body);
  EXPECT_EQ(done["state"], "done");
  EXPECT_EQ(done["result"]["a"], json({1, 2}));
}

}  // namespace
}  // namespace throughcure::service
