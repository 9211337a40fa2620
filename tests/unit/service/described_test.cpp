// Planning, jobs and light files are sent and answered as the API's description says. No outside source: our own
// contract. (What a practice's records answer is held against it wherever a test asks: office.hpp.)
#include <chrono>
#include <filesystem>
#include <future>
#include <memory>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/case_document.hpp"
#include "throughcure/exchange/knowledge.hpp"
#include "throughcure/service/job_routes.hpp"
#include "throughcure/service/light_routes.hpp"
#include "throughcure/service/plan_request.hpp"
#include "throughcure/service/plan_routes.hpp"
#include "throughcure/service/target.hpp"
#include "unit/service/api_description.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using nlohmann::json;
using service::Method;
using service::PlanQuestion;

std::filesystem::path demo_folder() { return std::filesystem::path(THROUGHCURE_SOURCE_DIR) / "demo"; }

json poor_case() { return json::parse(exchange::case_document_json(demo_folder() / "class2-poor.toml")); }

/// What does not lie in the records: cases, lights, jobs.
class DescribedTest : public testing::Test {
 protected:
  DescribedTest() : router_(routes()) {}

  std::vector<service::Route> routes() {
    const auto room = std::make_shared<service::PlanRoom>(demo_folder(), exchange::knowledge());
    std::vector<service::Route> all = service::plan_routes(room, jobs_);
    for (service::Route& route : service::light_routes(demo_folder(), jobs_)) all.push_back(std::move(route));
    for (service::Route& route : service::job_routes(jobs_)) all.push_back(std::move(route));
    return all;
  }

  /// Asks and waits, a minute at most; the answer is as its route says.
  json ask(Method method, const std::string& path, const std::string& body = {}) {
    const service::Match match = router_.match(method, *service::parse_target(path));
    if (match.route == nullptr) throw std::runtime_error("no route for " + path);
    std::promise<service::Response> promise;
    auto future = promise.get_future();
    service::Call call;
    call.session = service::Session{.person = "ann"};
    call.parameters = match.parameters;
    call.request.body = body;
    match.route->handler(std::move(call),
                         [&promise](service::Response response) { promise.set_value(std::move(response)); });
    if (future.wait_for(std::chrono::minutes(1)) != std::future_status::ready) throw std::runtime_error("no answer");
    const json told = json::parse(future.get().body);
    EXPECT_EQ(described_fault(match.route->gives, told), "") << path;
    return told;
  }

  service::Jobs jobs_;
  service::Router router_;
};

TEST_F(DescribedTest, EveryAnswerOfTheApiHasASchemaOrAMediaType) {
  Office office;
  const std::vector<service::Route>& all = office.site().routes();
  const std::set<std::string> without_a_body = {"/api/session/pin", "/api/openapi.json"};
  int described = 0;
  for (const service::Route& route : all) {
    if (!route.pattern.starts_with("/api/") || route.pattern.find("...") != std::string::npos) continue;
    if (route.method == Method::del || without_a_body.contains(route.pattern)) continue;
    EXPECT_NE(route.gives.empty(), route.gives_media.empty()) << route.pattern;
    ++described;
  }
  EXPECT_GT(described, 100);
  EXPECT_NO_THROW(api_description(all)) << "a schema that a route names is missing";
}

TEST_F(DescribedTest, CasesAndWhatToChooseFrom) {
  const json list = ask(Method::get, "/api/restorations");
  EXPECT_EQ(list["restorations"].size(), 3U);
  EXPECT_EQ(ask(Method::get, "/api/restorations/class2-poor")["document"], poor_case());
  EXPECT_EQ(ask(Method::get, "/api/choices")["teeth"].size(), 32U);
}

TEST_F(DescribedTest, MeshesAndTheOpenQuestion) {
  const json question{{"document", poor_case()}, {"state", 0}};
  EXPECT_EQ(described_fault("MeshesQuestion", question), "");
  EXPECT_FALSE(ask(Method::post, "/api/plan/meshes", question.dump())["meshes"].empty());
  EXPECT_EQ(ask(Method::get, "/api/plan/open")["open"], false);
}

TEST_F(DescribedTest, LightFiles) {
  const json list = ask(Method::get, "/api/lights");
  ASSERT_EQ(list["lights"].size(), 1U);
  const json light = ask(Method::get, "/api/lights/" + list["lights"][0]["id"].get<std::string>());
  EXPECT_FALSE(light["distance"]["measured"].empty());
}

TEST_F(DescribedTest, AJobWhateverItMade) {
  std::promise<void> over;
  const auto name = jobs_.submit({.person = "ann",
                                  .drag = {},
                                  .work = [](const base::Running&) { return std::string(R"({"a": [1, 2]})"); },
                                  .over = [&over](const service::JobView&) { over.set_value(); }});
  ASSERT_TRUE(name);
  over.get_future().wait();
  EXPECT_EQ(ask(Method::get, "/api/jobs/" + *name)["state"], "done");
}

/// The keys that are described are those that the program reads: it takes every one, and no other.
TEST_F(DescribedTest, QuestionsHaveTheKeysThatAreRead) {
  const auto reads = [](const json& body, PlanQuestion question) {
    try {
      service::read_plan_request(body.dump(), question, exchange::case_files(demo_folder(), true));
      return std::string();
    } catch (const base::InputError& error) {
      return std::string(error.what());
    }
  };
  const json whole{{"document", poor_case()},
                   {"view", {{"plane", "buccolingual"}, {"exposure", 0}, {"dark", true}}},
                   {"precision", "drag"}};
  EXPECT_EQ(described_fault("VerdictQuestion", whole), "");
  EXPECT_EQ(reads(whole, PlanQuestion::kVerdict), "");
  const json document{{"document", poor_case()}};
  for (const char* name : {"VerdictQuestion", "CaseQuestion", "MeshesQuestion"}) {
    EXPECT_EQ(described_fault(name, document), "") << name;
  }
  EXPECT_EQ(reads(document, PlanQuestion::kWhy), "");
  const json schemas = api_description()["components"]["schemas"];
  const auto keys = [](const json& schema) {
    std::set<std::string> names;
    for (const auto& [name, part] : schema.at("properties").items()) names.insert(name);
    return names;
  };
  EXPECT_EQ(keys(schemas["VerdictQuestion"]), (std::set<std::string>{"document", "view", "precision"}));
  EXPECT_EQ(keys(schemas["VerdictQuestion"]["properties"]["view"]),
            (std::set<std::string>{"plane", "exposure", "dark"}));
  for (const char* unknown : {"view", "precision", "state"}) {
    json more = document;
    more[unknown] = whole.value(unknown, json(0));
    EXPECT_NE(described_fault("CaseQuestion", more), "") << unknown;
    EXPECT_NE(reads(more, PlanQuestion::kWhy), "") << unknown;
  }
}

}  // namespace
}  // namespace throughcure::tests
