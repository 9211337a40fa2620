// Who may do what: every route against every role, and records of other sites. No outside source: our own contract.
#include <map>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/service/record_routes.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using service::Access;
using service::Method;

/// A path that fits a pattern.
std::string path_of(const std::string& pattern) {
  std::string path = pattern;
  for (std::size_t from = path.find('{'); from != std::string::npos; from = path.find('{')) {
    path.replace(from, path.find('}', from) - from + 1, "999");
  }
  return path;
}

class RightsTest : public testing::Test {
 protected:
  RightsTest() : lead_(office_.begin()) {}

  std::int64_t add(const Browser& browser, const std::string& kind, const nlohmann::json& record) {
    const Told told = office_.post(browser, "/api/records/" + kind, record);
    EXPECT_EQ(told.status, 201) << kind << told.body.dump();
    return told.body.value("id", std::int64_t{0});
  }
  std::int64_t add_light(const Browser& browser, std::int64_t room) {
    return add(browser, "light", {{"room", room}, {"name", "Lamp"}, {"serial", "K-1"}});
  }

  Office office_;
  Browser lead_;
};

TEST_F(RightsTest, EveryRouteIsHeldAgainstEveryRole) {
  const std::map<std::string, Browser> people = {{"viewer", office_.join(lead_, "vera", "viewer")},
                                                 {"assistant", office_.join(lead_, "ana", "assistant")},
                                                 {"clinician", office_.join(lead_, "jon", "clinician")}};
  const std::map<std::string, int> rank = {{"viewer", 0}, {"assistant", 1}, {"clinician", 2}, {"lead", 3}};
  const std::map<Access, int> least = {
      {Access::signed_in, 0}, {Access::assistant, 1}, {Access::clinician, 2}, {Access::lead, 3}};
  int pairs = 0;
  for (const service::Route& route : office_.site().routes()) {
    if (!route.pattern.starts_with("/api/") || route.pattern.find("...") != std::string::npos) continue;
    const std::string path = path_of(route.pattern);
    if (route.access == Access::open) continue;
    EXPECT_EQ(office_.ask({}, route.method, path).status, 401) << path;
    if (route.pattern == "/api/session" && route.method == Method::del) continue;  // would sign out
    for (const auto& [role, browser] : people) {
      const int status = office_.ask(browser, route.method, path, "{}").status;
      const bool refused = status == 403;
      EXPECT_EQ(refused, rank.at(role) < least.at(route.access))
          << service::method_name(route.method) << ' ' << path << " as " << role << " gave " << status;
      ++pairs;
    }
    EXPECT_NE(office_.ask(lead_, route.method, path, "{}").status, 403) << path;
  }
  EXPECT_GT(pairs, 200);
}

TEST_F(RightsTest, ChangesWithoutThePagesTokenAreRefused) {
  Browser forged = lead_;
  forged.token = "0123456789abcdef0123456789abcdef";
  for (const service::Route& route : office_.site().routes()) {
    if (route.method == Method::get || route.access == Access::open) continue;
    EXPECT_EQ(office_.ask(forged, route.method, path_of(route.pattern), "{}").status, 403) << route.pattern;
  }
}

TEST_F(RightsTest, AnotherSitesRecordsAreNotThere) {
  const std::int64_t other = add(lead_, "site", {{"name", "Hill road"}, {"time_zone", "Europe/Lisbon"}});
  const std::int64_t room1 = add(lead_, "room", {{"site", 1}, {"name", "Room 1"}});
  const std::int64_t room2 = add(lead_, "room", {{"site", other}, {"name", "Room 9"}});
  const std::int64_t light1 = add_light(lead_, room1);
  const std::int64_t light2 = add_light(lead_, room2);
  const Browser local = office_.join(lead_, "lia", "lead", other);
  EXPECT_EQ(office_.get(local, "/api/records/light/" + std::to_string(light2)).status, 200);
  EXPECT_EQ(office_.get(local, "/api/records/light/" + std::to_string(light1)).status, 404);
  EXPECT_EQ(office_.get(local, "/api/records/light/" + std::to_string(light1) + "/history").status, 404);
  EXPECT_EQ(office_.get(local, "/api/records/site/1").status, 404);
  EXPECT_EQ(office_.get(local, "/api/records/light").body["records"].size(), 1U);
  EXPECT_EQ(office_.get(local, "/api/records/room").body["records"].size(), 1U);
  EXPECT_EQ(office_.get(lead_, "/api/records/light").body["records"].size(), 2U);
  EXPECT_EQ(office_.get(local, "/api/check-sheet").body["lights"].size(), 1U);
  const nlohmann::json there{{"room", room1}, {"name", "Lamp"}, {"serial", "K-2"}};
  EXPECT_EQ(office_.post(local, "/api/records/light", there).status, 403);
  const nlohmann::json moved{{"room", room1}, {"name", "Lamp"}, {"serial", "K-1"}};
  EXPECT_EQ(office_.put(local, "/api/records/light/" + std::to_string(light2) + "?revision=1", moved).status, 403);
  EXPECT_EQ(office_.put(local, "/api/records/light/" + std::to_string(light1) + "?revision=1", moved).status, 404);
  const nlohmann::json site{{"name", "Third"}, {"time_zone", "Europe/Lisbon"}};
  EXPECT_EQ(office_.post(local, "/api/records/site", site).status, 403) << "new sites are for one who leads everywhere";
  const nlohmann::json person{
      {"name", "X"}, {"role", "lead"}, {"site", 1}, {"everywhere", false}, {"sign_in_name", "xx"}};
  EXPECT_EQ(office_.post(local, "/api/people", person).status, 403) << "nobody is put at another site";
  nlohmann::json everywhere = person;
  everywhere["site"] = other;
  everywhere["everywhere"] = true;
  EXPECT_EQ(office_.post(local, "/api/people", everywhere).status, 403) << "nobody is given more than one has";
  EXPECT_EQ(office_.put(local, "/api/policy/alert_share?revision=0", {{"number", 0.95}, {"source", "here"}}).status,
            403);
}

TEST_F(RightsTest, TheLogOfAllSitesIsForOneWhoLeadsEverywhere) {
  const Browser local = office_.join(lead_, "lia", "lead");
  for (const char* log : {"/api/audit", "/api/audit/export"}) {
    const Told told = office_.get(local, log);
    EXPECT_EQ(told.status, 403) << log;
    EXPECT_THAT(told.body.value("sentence", ""), testing::HasSubstr("one who leads everywhere")) << log;
    EXPECT_EQ(office_.get(lead_, log).status, 200) << log;
  }
}

TEST_F(RightsTest, OfTwoWhoChooseAValueAtOnceTheSecondIsToldSo) {
  const std::string at = "/api/policy/alert_share";
  const auto choose = [&](const std::string& revision, double number) {
    return office_.put(lead_, at + revision, {{"number", number}, {"source", "chosen here"}});
  };
  const auto in_force = [&] {
    const Told told = office_.get(lead_, "/api/policy");
    for (const auto& one : told.body["values"]) {
      if (one["name"] == "alert_share") return one;
    }
    return nlohmann::json();
  };
  EXPECT_EQ(in_force()["revision"], 0) << "as delivered";
  EXPECT_EQ(choose("", 0.95).body["problems"].at(0)["field"], "revision");
  EXPECT_EQ(choose("?revision=1", 0.95).status, 409) << "nobody has chosen it yet";
  EXPECT_EQ(choose("?revision=0", 0.95).body["revision"], 1);
  EXPECT_EQ(choose("?revision=0", 0.85).status, 409) << "somebody chose it meanwhile";
  EXPECT_EQ(choose("?revision=1", 0.92).body["revision"], 2);
  const Told late = choose("?revision=1", 0.85);
  EXPECT_EQ(late.status, 409);
  EXPECT_THAT(late.body["sentence"].get<std::string>(), testing::HasSubstr("changed by somebody else meanwhile"));
  EXPECT_EQ(in_force()["number"], 0.92) << "what was refused changed nothing";
}

TEST_F(RightsTest, ARestorationIsNotToBeThroughCuredAndUnderCuredAtOnce) {
  const auto choose = [&](const std::string& name, int revision, double number) {
    return office_.put(lead_, "/api/policy/" + name + "?revision=" + std::to_string(revision),
                       {{"number", number}, {"source", "chosen here"}});
  };
  EXPECT_EQ(choose("through_cured_chance", 0, 0.5).status, 200) << "both at a half";
  const Told past = choose("under_cured_chance", 0, 0.6);
  EXPECT_EQ(past.status, 422);
  EXPECT_EQ(past.body["problems"].at(0)["field"], "number");
  EXPECT_EQ(choose("through_cured_chance", 1, 0.7).status, 200);
  EXPECT_EQ(choose("under_cured_chance", 0, 0.6).status, 200);
  EXPECT_EQ(choose("through_cured_chance", 2, 0.55).status, 422);
}

TEST_F(RightsTest, WhatAPersonMayDoHasAHistoryForTheLead) {
  const std::int64_t other = add(lead_, "site", {{"name", "Hill road"}, {"time_zone", "Europe/Lisbon"}});
  const Browser jon = office_.join(lead_, "jon", "clinician");
  const Browser lia = office_.join(lead_, "lia", "lead", other);
  const nlohmann::json changed{{"name", "Jon"}, {"role", "assistant"}, {"site", 1}, {"active", true}};
  ASSERT_EQ(office_.put(lead_, "/api/people/2", changed).status, 422) << "the revision is missing";
  ASSERT_EQ(office_.put(lead_, "/api/people/2?revision=1", changed).status, 200);
  const std::string at = "/api/records/person/2/history";
  const Told told = office_.get(lead_, at);
  ASSERT_EQ(told.status, 200) << told.text;
  ASSERT_EQ(told.body["revisions"].size(), 2U);
  EXPECT_EQ(told.body["revisions"][0]["record"]["role"], "clinician");
  EXPECT_EQ(told.body["revisions"][1]["record"]["role"], "assistant");
  EXPECT_EQ(told.body["revisions"][1]["person"], "1") << "who changed it";
  EXPECT_EQ(office_.get(jon, at).status, 403);
  EXPECT_EQ(office_.get(lia, at).status, 404) << "of another site";
}

TEST_F(RightsTest, RecordsKeepTheirRules) {
  const std::int64_t room = add(lead_, "room", {{"site", 1}, {"name", "Room 1"}});
  const Told wrong = office_.post(
      lead_, "/api/records/light",
      {{"room", room}, {"name", " "}, {"claimed_mw_cm2", 5}, {"accepted_at", "yesterday"}, {"colour", "blue"}});
  EXPECT_EQ(wrong.status, 422);
  EXPECT_EQ(wrong.body["problems"].size(), 3U) << "colour, accepted_at, serial: " << wrong.body.dump();
  EXPECT_EQ(
      office_.post(lead_, "/api/records/light", {{"room", room}, {"name", " "}, {"serial", "K"}, {"claimed_mw_cm2", 5}})
          .body["problems"]
          .size(),
      2U);
  EXPECT_EQ(office_.post(lead_, "/api/records/light", {{"room", 77}, {"name", "L"}, {"serial", "K"}}).status, 422);
  const nlohmann::json accepted{
      {"room", room}, {"name", "L"}, {"serial", "K"}, {"accepted_at", "2026-01-05T08:00:00Z"}};
  EXPECT_EQ(office_.post(lead_, "/api/records/light", accepted).status, 422) << "accepting is an act of its own";
  EXPECT_EQ(office_.get(lead_, "/api/records/restoration?chart=4711").status, 422)
      << "what is private never stands in an address";
  EXPECT_EQ(office_.get(lead_, "/api/records/no-such").status, 404);
  EXPECT_EQ(office_.ask(lead_, Method::post, "/api/records/room", "[1]").status, 422);
  EXPECT_EQ(office_.ask(lead_, Method::post, "/api/records/room", "{").status, 422);
}

TEST_F(RightsTest, ACorrectionNeedsTheRevisionThatWasRead) {
  const std::int64_t room = add(lead_, "room", {{"site", 1}, {"name", "Room 1"}});
  const std::string at = "/api/records/room/" + std::to_string(room);
  EXPECT_EQ(office_.put(lead_, at, {{"site", 1}, {"name", "Room A"}}).status, 422);
  EXPECT_EQ(office_.put(lead_, at + "?revision=1", {{"site", 1}, {"name", "Room A"}}).body["revision"], 2);
  EXPECT_EQ(office_.put(lead_, at + "?revision=1", {{"site", 1}, {"name", "Room B"}}).status, 409);
  const Told history = office_.get(lead_, at + "/history");
  ASSERT_EQ(history.body["revisions"].size(), 2U);
  EXPECT_EQ(history.body["revisions"][0]["record"]["name"], "Room 1");
  EXPECT_EQ(history.body["revisions"][1]["name"], "Marta Vint");
}

TEST_F(RightsTest, TheSameKeyDoesItOnce) {
  const nlohmann::json room{{"site", 1}, {"name", "Room 1"}};
  const service::Header key{"idempotency-key", "0123456789abcdef"};
  const Told first = office_.post(lead_, "/api/records/room", room, {key});
  const Told again = office_.post(lead_, "/api/records/room", room, {key});
  EXPECT_EQ(first.status, 201);
  EXPECT_EQ(again.body, first.body);
  EXPECT_EQ(office_.get(lead_, "/api/records/room").body["records"].size(), 1U);
  EXPECT_EQ(office_.post(lead_, "/api/records/room", {{"site", 1}, {"name", "Room 2"}}, {key}).status, 409);
  EXPECT_EQ(office_.post(lead_, "/api/records/room", room, {{"idempotency-key", "short"}}).status, 422);
}

}  // namespace
}  // namespace throughcure::tests
