// The list of lights, a light's page, the page of the day, over the demo's invented year. No outside source: our own
// contract.
#include <algorithm>
#include <map>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/desk/demo_practice.hpp"
#include "throughcure/fleet/equipment.hpp"
#include "throughcure/fleet/reading_entry.hpp"
#include "throughcure/practice/attachment.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using std::chrono::hours;
using testing::HasSubstr;

class FleetTest : public testing::Test {
 protected:
  FleetTest() : lead_(office_.begin()) {}

  /// A light in a room of the first site, as the lead adds it.
  std::int64_t add_light(double claimed_mw_cm2 = 1200) {
    const std::int64_t room =
        office_.post(lead_, "/api/records/room", {{"site", 1}, {"name", "Room 1"}}).body.value("id", std::int64_t{0});
    const nlohmann::json light{
        {"room", room},           {"name", "Lamp A"},        {"serial", "K-1"},      {"claimed_mw_cm2", claimed_mw_cm2},
        {"approval_number", "1"}, {"approved_by", "agency"}, {"battery", "lithium"}, {"check_mode", "standard"}};
    return office_.post(lead_, "/api/records/light", light).body.value("id", std::int64_t{0});
  }
  std::string at(std::int64_t light, const std::string& act) {
    return "/api/fleet/" + std::to_string(light) + "/" + act;
  }
  void give_papers(std::int64_t light) {
    office_.records().write({"1", office_.now}, [&](store::Writer& w) {
      for (const char* about : {"approval", "instructions"}) {
        w.attach({.belongs_to = "light", .record = light, .about = about, .name = "scan.pdf", .sha256 = {}},
                 "%PDF-1.7 scan");
      }
      w.add(fleet::TipEntry{{light}, "straight", 8});
      w.add(fleet::RadiometerEntry{"Meter", "R-1", 8.0, {}});
    });
  }
  nlohmann::json check_of(std::int64_t light, double shown) {
    return {{"light", light},
            {"tip", 1},
            {"radiometer", 1},
            {"room", 1},
            {"taken_at", base::instant_text(office_.now)},
            {"mode", "standard"},
            {"shown_mw_cm2", shown},
            {"barrier_on", false},
            {"tip_clean", true},
            {"battery", 1},
            {"purpose", "check"}};
  }
  Told check(std::int64_t light, double shown) {
    office_.now += std::chrono::minutes(10);
    return office_.post(lead_, "/api/checks", check_of(light, shown));
  }

  Office office_;
  Browser lead_;
};

TEST_F(FleetTest, TodayTellsTheLeadWhatABackupLacksAndNobodyElse) {
  const Browser assistant = office_.join(lead_, "ana", "assistant");
  const auto told = [&](const Browser& browser) { return office_.get(browser, "/api/today").body["backup"]; };
  EXPECT_TRUE(told(lead_).is_null());
  office_.backups().set({.trouble = {},
                         .lost = {{.sha256 = "ab",
                                   .changed = true,
                                   .name = "scan.pdf",
                                   .belongs_to = "light",
                                   .record = 2,
                                   .about = "approval"}}});
  EXPECT_THAT(told(lead_).value("sentence", ""), HasSubstr("lacks a file and has all else. Attach the same again"));
  EXPECT_EQ(told(lead_)["files"],
            nlohmann::json::array({"“scan.pdf”: the approval of light 2 is no longer what was attached"}));
  EXPECT_TRUE(told(assistant).is_null());
  office_.backups().set({.trouble = "no space. Free some.", .lost = {}});
  EXPECT_EQ(told(lead_).value("sentence", ""), "The backup of the day could not be made: no space. Free some.");
  office_.backups().set({});
  EXPECT_TRUE(told(lead_).is_null());
}

TEST_F(FleetTest, TodayTellsWhatRunsOut) {
  using std::chrono::days;
  const auto told = [&] {
    std::vector<std::string> rows;
    for (const auto& row : office_.get(lead_, "/api/today").body["runs_out"]) {
      rows.push_back(row.value("what", "") + " " + row.value("name", "") +
                     (row.value("over", false) ? " is over" : ""));
    }
    return rows;
  };
  EXPECT_THAT(told(), testing::IsEmpty());
  office_.records().write({"1", office_.now}, [&](store::Writer& w) {
    const auto meter = w.add(fleet::RadiometerEntry{"Meter", "R-1", 8.0, office_.now - days(500)});
    w.add(fleet::RadiometerEntry{"Old meter", "R-2", 8.0, office_.now - days(200)});
    w.add(fleet::RadiometerEntry{"New meter", "R-3", 8.0, office_.now + days(200)});
    w.add(fleet::CertificateEntry{meter, "C-1", "a laboratory", office_.now - days(340), office_.now + days(25), {}});
    const auto paste = w.add(practice::MaterialEntry{.name = "Paste", .shade = "A2"});
    w.add(practice::Lot{paste, "long gone", office_.now - days(31)});
    w.add(practice::Lot{paste, "gone", office_.now - days(1)});
    w.add(practice::Lot{paste, "today", office_.now});
    w.add(practice::Lot{paste, "soon", office_.now + days(29)});
    w.add(practice::Lot{paste, "later", office_.now + days(31)});
    w.add(practice::Lot{paste, "ever", {}});
  });
  EXPECT_THAT(told(), testing::ElementsAre("certificate Old meter is over", "lot Paste A2, lot gone is over",
                                           "lot Paste A2, lot today", "certificate Meter", "lot Paste A2, lot soon"));
}

TEST_F(FleetTest, ALightIsAcceptedOnlyWithItsPapersAndAFirstCheck) {
  const std::int64_t light = add_light();
  EXPECT_EQ(office_.get(lead_, "/api/fleet").body["lights"].at(0)["state"], "not accepted");
  const Told early = office_.post(lead_, at(light, "accept"), nlohmann::json::object());
  EXPECT_EQ(early.status, 422);
  EXPECT_EQ(early.body["problems"].size(), 4U) << early.body.dump();
  EXPECT_EQ(office_.post(lead_, at(light, "refuse"), {{"because", " "}}).status, 422);
  EXPECT_EQ(office_.post(lead_, at(light, "refuse"), {{"because", "no papers"}}).status, 200);
  EXPECT_THAT(office_.get(lead_, "/api/fleet/1").body.value("why", ""), HasSubstr("no papers"));
  give_papers(light);
  EXPECT_EQ(office_.get(lead_, "/api/fleet/1").body["missing"].size(), 1U) << "the first check";
  EXPECT_EQ(check(light, 1150).body["verdict"], "first");
  const Told accepted = office_.post(lead_, at(light, "accept"), nlohmann::json::object());
  ASSERT_EQ(accepted.status, 200) << accepted.body.dump();
  EXPECT_EQ(accepted.body["state"], "in use");
  EXPECT_EQ(office_.post(lead_, at(light, "accept"), nlohmann::json::object()).status, 422);
}

TEST_F(FleetTest, WhatFillsInAnEmptyFieldIsACorrection) {
  const std::int64_t light = add_light();
  give_papers(light);
  check(light, 1150);
  ASSERT_EQ(office_.post(lead_, at(light, "accept"), nlohmann::json::object()).status, 200);
  // What filled in a field that stood empty is no light that was added.
  EXPECT_EQ(office_.get(lead_, "/api/today").body["changed"].at(0)["sentence"], "accepted a light");
  const nlohmann::json log = office_.get(lead_, "/api/audit").body["changes"];
  EXPECT_EQ(log.at(0)["kind"], "light");
  EXPECT_EQ(log.at(0)["is_new"], false);
  EXPECT_EQ(log.back()["is_new"], true);
  office_.now += std::chrono::minutes(10);
  nlohmann::json low = check_of(light, 990);
  low.erase("battery");
  ASSERT_EQ(office_.post(lead_, "/api/checks", low).body["state"], "watch");
  ASSERT_EQ(office_.get(lead_, "/api/fleet").body["lights"].at(0)["state"], "watch");
  // The battery was low, somebody remembers: then the reading says nothing of the light.
  nlohmann::json record = office_.get(lead_, "/api/records/reading/2").body["record"];
  ASSERT_TRUE(record["battery"].is_null()) << record.dump();
  record["battery"] = 0.1;
  ASSERT_EQ(office_.put(lead_, "/api/records/reading/2?revision=1", record).status, 200);
  EXPECT_EQ(office_.get(lead_, "/api/fleet").body["lights"].at(0)["state"], "in use");
}

TEST_F(FleetTest, ALightWithoutAReadingIsShownAndForetoldNothing) {
  // A claim so near the limit that its doubt alone reaches below it within the days looked at.
  const std::int64_t light = add_light(650);
  for (const bool papers : {false, true}) {
    if (papers) give_papers(light);
    const Told page = office_.get(lead_, "/api/fleet/1");
    ASSERT_EQ(page.status, 200) << page.body.dump();
    EXPECT_TRUE(page.body["falls_below"].is_null());
    EXPECT_TRUE(page.body["today"].is_null());
    const Told list = office_.get(lead_, "/api/fleet");
    ASSERT_EQ(list.status, 200) << list.body.dump();
    EXPECT_TRUE(list.body["lights"].at(0)["falls_below"].is_null());
    EXPECT_EQ(office_.get(lead_, "/api/today").body["lights"], 1);
  }
}

TEST_F(FleetTest, AWeakLightIsNotAccepted) {
  const std::int64_t light = add_light();
  give_papers(light);
  check(light, 410);
  const Told told = office_.post(lead_, at(light, "accept"), nlohmann::json::object());
  EXPECT_EQ(told.status, 422);
  EXPECT_THAT(told.body.value("sentence", ""), HasSubstr("410"));
}

TEST_F(FleetTest, AWithdrawnLightComesBackAfterItsGoodChecks) {
  const std::int64_t light = add_light();
  give_papers(light);
  check(light, 1150);
  office_.post(lead_, at(light, "accept"), nlohmann::json::object());
  const Told withdrawn = office_.post(lead_, at(light, "withdraw"), {{"because", "it was dropped"}});
  ASSERT_EQ(withdrawn.status, 200) << withdrawn.body.dump();
  EXPECT_EQ(withdrawn.body["look_back"], 1);
  EXPECT_EQ(office_.get(lead_, "/api/today").body["wrong"].at(0)["state"], "withdrawn");
  EXPECT_EQ(office_.get(lead_, "/api/today").body["look_backs"].size(), 1U);
  check(light, 1140);
  check(light, 1130);
  EXPECT_EQ(office_.post(lead_, at(light, "return"), nlohmann::json::object()).status, 422) << "two of three";
  check(light, 1135);
  EXPECT_EQ(office_.post(lead_, at(light, "return"), nlohmann::json::object()).body["state"], "in use");
}

TEST_F(FleetTest, TheFailingLightOfTheInventedYearIsSeenWeeksBefore) {
  Office demo;
  const Browser nobody;
  const practice::Member lead = desk::demo_practice(demo.records(), demo.now);
  EXPECT_EQ(lead.name, "Marta Vint");
  EXPECT_EQ(desk::demo_practice(demo.records(), demo.now).account, lead.account) << "made once";
  const std::string token = demo.invite(lead);
  const Told in = demo.get(nobody, "/sign-in/" + token);
  Browser browser = Office::signed_in(in);
  browser.token = demo.get(browser, "/api/session").body.value("page_token", "");
  const Told list = demo.get(browser, "/api/fleet");
  ASSERT_EQ(list.status, 200);
  std::map<std::string, nlohmann::json> lights;
  for (const auto& light : list.body["lights"]) lights[light["name"]] = light;
  EXPECT_EQ(lights["Lamp 1"]["state"], "in use");
  EXPECT_EQ(lights["Lamp 3"]["state"], "in use");
  EXPECT_EQ(lights["Lamp 5"]["state"], "in use");
  EXPECT_EQ(lights["Lamp 2"]["state"], "watch");
  EXPECT_THAT(lights["Lamp 2"].value("alarm", ""), HasSubstr("drifting down since 2025"));
  const nlohmann::json page = demo.get(browser, "/api/fleet/2").body;
  // All its checks are still good ones: the charts speak first.
  double least = 1;
  for (const auto& point : page["series"].at(0)["points"]) least = std::min(least, point["share"].get<double>());
  EXPECT_GT(least, 0.8);
  const auto alarm = page["series"].at(0)["alarms"].at(0)["at"].get<std::string>();
  const auto raised = base::parse_instant(alarm);
  ASSERT_TRUE(raised);
  EXPECT_GT(demo.now - *raised, hours(24 * 7 * 4)) << "raised at " << alarm;
  ASSERT_TRUE(page["falls_below"]["p50"].is_string()) << page["falls_below"].dump();
  const auto falls = base::parse_instant(page["falls_below"]["p50"].get<std::string>());
  EXPECT_GT(*falls - demo.now, hours(0));
  EXPECT_LT(*falls - demo.now, hours(24 * 180));
  EXPECT_THAT(demo.get(browser, "/api/today").body.value("sentence", ""), HasSubstr("want looking at"));
  EXPECT_EQ(page["series"].at(0)["points"].size(), 52U);
}

}  // namespace
}  // namespace throughcure::tests
