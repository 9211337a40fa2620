// A practice served in this process: its records in a file of their own, people signed in as a browser would be.
#pragma once

#include <algorithm>
#include <filesystem>
#include <future>
#include <iterator>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "service/scratch_folder.hpp"
#include "throughcure/exchange/knowledge.hpp"
#include "throughcure/service/guard.hpp"
#include "throughcure/service/job_routes.hpp"
#include "throughcure/service/jobs.hpp"
#include "throughcure/service/light_routes.hpp"
#include "throughcure/service/plan_routes.hpp"
#include "throughcure/service/practice_desk.hpp"
#include "throughcure/service/site.hpp"
#include "unit/service/schema_fault.hpp"

namespace throughcure::tests {

/// One browser.
struct Browser {
  std::string cookie;
  std::string token;
  std::string ticket;
  nlohmann::json session;
};

/// An answer whose body is JSON, where it has one.
struct Told {
  int status = 0;
  nlohmann::json body;
  std::vector<service::Header> headers;
  std::string text{};  ///< the body as it came
  [[nodiscard]] std::vector<std::string> all(std::string_view name) const {
    std::vector<std::string> values;
    for (const service::Header& header : headers) {
      if (header.name == name) values.push_back(header.value);
    }
    return values;
  }
};

class Office {
 public:
  Office() : room_(std::make_shared<service::PlanRoom>(folder_.path(), exchange::knowledge())) { open(); }
  ~Office() = default;
  Office(const Office&) = delete;
  Office& operator=(const Office&) = delete;

  /// As after the program was stopped and started again.
  void open() {
    site_.reset();
    desk_.reset();
    desk_ = std::make_unique<service::PracticeDesk>(
        store::InFile{folder_.path() / "records.db"}, [this] { return now; },
        practice::HashCost{.passes = 1, .memory_bytes = 8192});
    service::SiteSettings settings;
    settings.reach.port = 8420;
    settings.version = "1.2.3";
    settings.engine = engine;
    settings.log = [this](std::string_view what) { logged += what; };
    desk_->complete(settings);
    site_ = std::make_unique<service::Site>(settings, desk_->sessions(), served(settings));
    std::promise<std::string> description;
    site_->answer({.target = "/api/openapi.json", .headers = {{"host", "127.0.0.1:8420"}}, .body = {}},
                  [&](const service::Response& response) { description.set_value(response.body); });
    described_ = nlohmann::json::parse(description.get_future().get());
  }

  Told ask(const Browser& browser, service::Method method, const std::string& target, const std::string& body = {},
           std::vector<service::Header> headers = {}) {
    service::Request request{.method = method, .target = target, .headers = std::move(headers), .body = body};
    request.from = from;
    request.headers.push_back({"host", "127.0.0.1:8420"});
    request.headers.push_back({"origin", "http://127.0.0.1:8420"});
    if (!browser.cookie.empty()) request.headers.push_back({"cookie", browser.cookie});
    if (!browser.token.empty()) {
      request.headers.push_back({std::string(service::kPageTokenHeader), browser.token});
    }
    std::promise<service::Response> answered;
    site_->answer(std::move(request), [&](service::Response response) { answered.set_value(std::move(response)); });
    const service::Response response = answered.get_future().get();
    Told told{response.status, nlohmann::json::parse(response.body, nullptr, false), response.headers, response.body};
    expect_as_described(method, target, told);
    return told;
  }
  Told get(const Browser& browser, const std::string& target) { return ask(browser, service::Method::get, target); }
  Told post(const Browser& browser, const std::string& target, const nlohmann::json& body,
            std::vector<service::Header> headers = {}) {
    return ask(browser, service::Method::post, target, body.dump(), std::move(headers));
  }
  Told put(const Browser& browser, const std::string& target, const nlohmann::json& body) {
    return ask(browser, service::Method::put, target, body.dump());
  }

  /// The browser that an answer signed in.
  static Browser signed_in(const Told& told) {
    Browser browser;
    for (const service::Header& header : told.headers) {
      if (header.name == "set-cookie") browser.cookie = header.value.substr(0, header.value.find(';'));
    }
    browser.session = told.body;
    if (!told.body.is_object()) return browser;
    browser.token = told.body.value("page_token", "");
    browser.ticket = told.body.value("ticket", "");
    return browser;
  }

  /// The first start: Marta leads, everywhere.
  Browser begin() {
    const Told told = post({}, "/api/door/begin",
                           {{"code", desk_->first_code()},
                            {"name", "Marta Vint"},
                            {"sign_in_name", "marta"},
                            {"password", kPassword},
                            {"site", {{"name", "Harbour street"}, {"time_zone", "Europe/Lisbon"}}}});
    EXPECT_EQ(told.status, 201) << told.body.dump();
    return signed_in(told);
  }

  /// Somebody whom the lead adds, and who has joined.
  Browser join(const Browser& lead, const std::string& name, const std::string& role, std::int64_t site = 1) {
    const Told added =
        post(lead, "/api/people",
             {{"name", name}, {"role", role}, {"site", site}, {"everywhere", false}, {"sign_in_name", name}});
    EXPECT_EQ(added.status, 201) << added.body.dump();
    const Told told = post({}, "/api/door/join", {{"code", added.body.value("code", "")}, {"password", kPassword}});
    EXPECT_EQ(told.status, 200) << told.body.dump();
    return signed_in(told);
  }

  /// A one-time token for somebody, as the demo prints it.
  std::string invite(const practice::Member& member) { return desk_->sessions().invite(member, now); }

  [[nodiscard]] service::Site& site() { return *site_; }
  [[nodiscard]] store::Store& records() { return desk_->records(); }
  [[nodiscard]] service::BackupState& backups() { return desk_->backups(); }
  [[nodiscard]] const std::filesystem::path& folder() const { return folder_.path(); }
  [[nodiscard]] const std::string& first_code() const { return desk_->first_code(); }

  static constexpr const char* kPassword = "a long enough one";
  base::Instant now{1'767'600'000'000'000};  // 2026-01-05T08:00Z
  std::string from = "127.0.0.1";            ///< where browsers ask from
  std::string logged;
  std::string engine = "1.2.3 (an engine)";  ///< of the next open()

 private:
  /// All that the program serves.
  std::vector<service::Route> served(const service::SiteSettings& settings) {
    std::vector<service::Route> routes = desk_->routes(settings, room_, jobs_);
    const auto add = [&](std::vector<service::Route> more) { std::ranges::move(more, std::back_inserter(routes)); };
    add(service::light_routes(folder_.path(), jobs_));
    add(service::job_routes(jobs_));
    add(service::plan_routes(room_, jobs_, desk_->policy_in_force(*room_)));
    return routes;
  }

  /// Every answer is held against the API's own description.
  void expect_as_described(service::Method method, const std::string& target, const Told& told) {
    const auto parsed = service::parse_target(target);
    if (!parsed || told.status == 204 || !told.body.is_object()) return;
    const service::Router router(site_->routes());
    const service::Match match = router.match(method, *parsed);
    const bool done = told.status < 300;
    if (match.route == nullptr || (done && match.route->gives.empty())) return;
    const std::string name = done ? match.route->gives : "Refusal";
    const std::string fault = schema_fault(described_, {{"$ref", "#/components/schemas/" + name}}, told.body, name);
    EXPECT_EQ(fault, "") << target << ' ' << told.body.dump();
  }

  nlohmann::json described_;
  ScratchFolder folder_;
  std::shared_ptr<service::PlanRoom> room_;
  service::Jobs jobs_;
  std::unique_ptr<service::PracticeDesk> desk_;
  std::unique_ptr<service::Site> site_;
};

}  // namespace throughcure::tests
