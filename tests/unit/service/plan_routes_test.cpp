#include "throughcure/service/plan_routes.hpp"

#include <algorithm>
#include <future>
#include <set>
#include <stdexcept>
#include <thread>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/case_file.hpp"
#include "throughcure/exchange/knowledge.hpp"
#include "throughcure/service/target.hpp"

namespace throughcure::service {
namespace {

using nlohmann::json;
using testing::HasSubstr;

class PlanRoutes : public testing::Test {
 protected:
  /// Asks one of the routes and waits, ten seconds at most.
  Response ask(Method method, const std::string& path, std::string body = {}) {
    const Match match = router_.match(method, *parse_target(path));
    if (match.route == nullptr) throw std::runtime_error("no route for " + path);
    std::promise<Response> promise;
    auto future = promise.get_future();
    Call call;
    call.session = Session{.member = {}, .person = "ann", .page_token = {}};
    call.parameters = match.parameters;
    call.request.body = std::move(body);
    match.route->handler(std::move(call), [&promise](Response response) { promise.set_value(std::move(response)); });
    if (future.wait_for(std::chrono::seconds(10)) != std::future_status::ready) throw std::runtime_error("no answer");
    return future.get();
  }

  std::filesystem::path demo_ = std::filesystem::path(THROUGHCURE_SOURCE_DIR) / "demo";
  Jobs jobs_;
  Router router_{plan_routes(std::make_shared<PlanRoom>(demo_, exchange::knowledge()), jobs_)};
};

TEST_F(PlanRoutes, ListTheDemosCasesWithoutAProblem) {
  const Response response = ask(Method::get, "/api/restorations");
  EXPECT_EQ(response.status, 200);
  std::set<std::string> ids;
  const json list = json::parse(response.body);
  for (const json& one : list["restorations"]) {
    ids.insert(one["id"]);
    EXPECT_TRUE(one["problems"].empty()) << one;
    EXPECT_NE(one["name"], one["id"]) << "a case has a name of its own";
  }
  EXPECT_EQ(ids, (std::set<std::string>{"class2-good", "class2-poor", "class2-upright"}));
}

TEST_F(PlanRoutes, OneCaseGoesOutAndComesBackAsAFile) {
  const json one = json::parse(ask(Method::get, "/api/restorations/class2-poor").body);
  EXPECT_EQ(one["name"], "distal box, far and tilted");
  const Response file = ask(Method::post, "/api/plan/file", json{{"document", one["document"]}}.dump());
  ASSERT_EQ(file.status, 200) << file.body;
  base::Problems problems;
  const auto c = exchange::parse_case(file.body, "back.toml", demo_, problems);
  ASSERT_TRUE(c) << base::sentence(problems.front());
  EXPECT_EQ(c->schedule.size(), 4U);
  EXPECT_EQ(ask(Method::get, "/api/restorations/no-such").status, 404);
}

TEST_F(PlanRoutes, AWrongDocumentIsRefusedWithSentences) {
  json document = json::parse(ask(Method::get, "/api/restorations/class2-poor").body)["document"];
  document["tooth"]["number"] = 39;
  for (const char* path : {"/api/plan/verdict", "/api/plan/why", "/api/plan/meshes"}) {
    const Response wrong = ask(Method::post, path, json{{"document", document}}.dump());
    EXPECT_EQ(wrong.status, 422) << path;
    EXPECT_THAT(wrong.body, HasSubstr("tooth.number")) << path;
    EXPECT_EQ(ask(Method::post, path, "{").status, 422) << path;
  }
  EXPECT_EQ(ask(Method::post, "/api/plan/file", "[]").status, 422);
}

TEST_F(PlanRoutes, TheOpenQuestionTellsHowFarItIsAndCanBeGivenUp) {
  EXPECT_EQ(json::parse(ask(Method::get, "/api/plan/open").body), (json{{"open", false}}));
  EXPECT_EQ(ask(Method::del, "/api/plan/open").status, 204) << "nothing is open: nothing to do";
  std::promise<void> started;
  std::promise<JobState> over;
  jobs_.submit({"ann", "tip",
                [&started](const base::Running& running) -> std::string {
                  running.progress(0.5, "following light");
                  started.set_value();
                  while (!running.stop.stop_requested()) std::this_thread::yield();
                  throw base::Interrupted();
                },
                [&over](const JobView& view) { over.set_value(view.state); }});
  started.get_future().wait();
  EXPECT_EQ(json::parse(ask(Method::get, "/api/plan/open").body),
            (json{{"open", true}, {"doing", "following light"}, {"share_done", 0.5}}));
  EXPECT_EQ(ask(Method::del, "/api/plan/open").status, 204);
  EXPECT_EQ(over.get_future().get(), JobState::stopped);
}

TEST_F(PlanRoutes, ChoicesHoldTheDemosLightAndPaste) {
  const json choices = json::parse(ask(Method::get, "/api/choices").body);
  ASSERT_EQ(choices["lights"].size(), 1U);
  EXPECT_EQ(choices["lights"][0]["file"], "lights/demo-light.toml");
  EXPECT_FALSE(choices["lights"][0]["modes"][0]["buttons_s"].empty());
  EXPECT_EQ(choices["barriers"][0], "none");
  EXPECT_EQ(choices["teeth"].size(), 32U);
  bool paste = false;
  for (const json& one : choices["materials"]) paste = paste || one["file"] == "materials/universal-paste-a3.toml";
  EXPECT_TRUE(paste);
}

}  // namespace
}  // namespace throughcure::service
