// The list of lights, a light's page, the page of the day, over the demo's invented year. No outside source: our own
// contract.
#include <algorithm>
#include <cmath>
#include <map>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/desk/demo_practice.hpp"
#include "throughcure/fleet/equipment.hpp"
#include "throughcure/fleet/reading_entry.hpp"
#include "throughcure/practice/attachment.hpp"
#include "throughcure/practice/material.hpp"
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

  /// Later than a session lasts: the lead signs in again.
  void wait(hours time) {
    office_.now += time;
    lead_ = Office::signed_in(office_.post(
        {}, "/api/door/sign-in", {{"sign_in_name", "marta"}, {"password", Office::kPassword}, {"shared", false}}));
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
    const nlohmann::json today = office_.get(lead_, "/api/today").body;
    for (const auto& row : today["runs_out"]) {
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

TEST_F(FleetTest, TodayTellsWhoseWarrantyEndsToWhoSeesTheLight) {
  using std::chrono::days;
  base::SiteId other;
  office_.records().write({"1", office_.now}, [&](store::Writer& w) {
    other = w.add(practice::Site{"Mill lane", "Europe/Lisbon"});
    const auto add = [&](base::SiteId site, const std::string& name, days until) {
      const base::RoomId room = w.add(practice::Room{site, "Room of " + name, {}, {}});
      const fleet::LightEntry light{.room = room,
                                    .name = name,
                                    .serial = name,
                                    .claimed_mw_cm2 = {},
                                    .approval_number = {},
                                    .approved_by = {},
                                    .bought_in = {},
                                    .warranty_until = office_.now + until,
                                    .accepted_at = {},
                                    .withdrawn_at = {}};
      w.add(light);
    };
    add({1}, "long over", days(-31));
    add({1}, "over", days(-29));
    add({1}, "soon", days(29));
    add({1}, "later", days(31));
    add(other, "elsewhere", days(3));
  });
  const auto told = [&](const Browser& who) {
    std::vector<std::string> rows;
    const nlohmann::json today = office_.get(who, "/api/today").body;
    for (const auto& row : today["runs_out"]) {
      rows.push_back(row.value("what", "") + " " + row.value("name", "") + " " + row["light"].dump() +
                     (row.value("over", false) ? " over" : ""));
    }
    return rows;
  };
  EXPECT_THAT(told(lead_), testing::ElementsAre("warranty over 2 over", "warranty elsewhere 5", "warranty soon 3"));
  EXPECT_THAT(told(office_.join(lead_, "ana", "assistant")),
              testing::ElementsAre("warranty over 2 over", "warranty soon 3"));
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

TEST_F(FleetTest, ALightWhoseTipWasSeenDamagedIsNotAccepted) {
  const std::int64_t light = add_light();
  give_papers(light);
  nlohmann::json seen = check_of(light, 1150);
  seen["tip_whole"] = false;
  seen["vents_clear"] = false;
  ASSERT_EQ(office_.post(lead_, "/api/checks", seen).status, 201);
  const auto missing = [&] { return office_.get(lead_, "/api/fleet/1").body["missing"]; };
  ASSERT_EQ(missing().size(), 2U) << missing().dump();
  EXPECT_EQ(missing().at(0),
            "A whole tip: its tip was seen damaged on 2026-01-05. Replace it and note that, or look at it again at a "
            "check.");
  EXPECT_EQ(office_.post(lead_, at(light, "accept"), nlohmann::json::object()).status, 422);
  office_.now += std::chrono::minutes(10);
  seen["taken_at"] = base::instant_text(office_.now);
  seen["tip_whole"] = true;
  seen["vents_clear"] = true;
  ASSERT_EQ(office_.post(lead_, "/api/checks", seen).status, 201);
  EXPECT_EQ(office_.post(lead_, at(light, "accept"), nlohmann::json::object()).status, 200);
}

TEST_F(FleetTest, WhatFillsInAnEmptyFieldIsACorrection) {
  const std::int64_t light = add_light();
  give_papers(light);
  check(light, 1150);
  ASSERT_EQ(office_.post(lead_, at(light, "accept"), nlohmann::json::object()).status, 200);
  // What filled in a field that stood empty is no light that was added.
  const nlohmann::json changed = office_.get(lead_, "/api/today").body["changed"].at(0);
  EXPECT_EQ(changed["sentence"], "accepted a light");
  EXPECT_EQ(changed["lights"], nlohmann::json::parse(R"([{"light": 1, "name": "Lamp A"}])"));
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

TEST_F(FleetTest, ACorrectedReadingReachesTheLightsPage) {
  const std::int64_t light = add_light();
  give_papers(light);
  check(light, 1150);
  ASSERT_EQ(office_.post(lead_, at(light, "accept"), nlohmann::json::object()).status, 200);
  ASSERT_EQ(check(light, 110).body["verdict"], "again") << "1100 was meant";
  const auto point = [&] { return office_.get(lead_, "/api/fleet/1").body["series"].at(0)["points"].at(1); };
  EXPECT_EQ(point()["revision"], 1);
  EXPECT_LT(point()["share"], 0.1);
  const double before = office_.get(lead_, "/api/fleet/1").body["today"]["p50"];
  nlohmann::json record = office_.get(lead_, "/api/records/reading/2").body["record"];
  record["shown_mw_cm2"] = 1100;
  record["note"] = "mistyped";
  const Browser ana = office_.join(lead_, "ana", "assistant");
  EXPECT_EQ(office_.put(ana, "/api/records/reading/2?revision=1", record).status, 403);
  ASSERT_EQ(office_.put(lead_, "/api/records/reading/2?revision=1", record).status, 200);
  EXPECT_EQ(point()["revision"], 2);
  EXPECT_EQ(point()["shown_mw_cm2"], 1100);
  EXPECT_NEAR(point()["share"].get<double>(), 1100.0 / 1150, 1e-12);
  EXPECT_EQ(point()["told"]["verdict"], "again") << "what was told stays";
  const nlohmann::json page = office_.get(lead_, "/api/fleet/1").body;
  EXPECT_GT(page["today"]["p50"].get<double>(), 1.5 * before);
  EXPECT_EQ(page["state"], "in use");
  EXPECT_EQ(office_.put(lead_, "/api/records/reading/2?revision=1", record).status, 409) << "read before it";
  const nlohmann::json history = office_.get(lead_, "/api/records/reading/2/history").body["revisions"];
  ASSERT_EQ(history.size(), 2U);
  EXPECT_EQ(history.at(0)["record"]["shown_mw_cm2"], 110);
  EXPECT_EQ(history.at(1)["name"], "Marta Vint");
}

TEST_F(FleetTest, AReadingOfNoSeriesIsThereToBeCorrected) {
  const std::int64_t light = add_light();
  give_papers(light);
  nlohmann::json dirty = check_of(light, 1150);
  dirty["tip_clean"] = false;
  ASSERT_EQ(office_.post(lead_, "/api/checks", dirty).status, 201);
  nlohmann::json early = check_of(light, 1140);
  early["taken_at"] = base::instant_text(office_.now + hours(2));
  ASSERT_EQ(office_.post(lead_, "/api/checks", early).status, 201) << "by a phone whose clock is ahead";
  nlohmann::json page = office_.get(lead_, "/api/fleet/1").body;
  EXPECT_TRUE(page["series"].empty());
  ASSERT_EQ(page["apart"].size(), 2U) << page["apart"].dump();
  EXPECT_EQ(page["apart"].at(0)["reading"], 1);
  EXPECT_EQ(page["apart"].at(0)["shown_mw_cm2"], 1150);
  EXPECT_EQ(page["apart"].at(0)["tip_name"], "straight");
  EXPECT_EQ(page["apart"].at(0)["radiometer_name"], "Meter");
  EXPECT_EQ(page["apart"].at(0)["why_not"], "The tip was not clean.");
  EXPECT_EQ(page["apart"].at(1)["reading"], 2);
  EXPECT_EQ(page["apart"].at(1)["at"], base::instant_text(office_.now + hours(2)));
  EXPECT_EQ(page["apart"].at(1)["arrived_at"], base::instant_text(office_.now));
  EXPECT_THAT(page["apart"].at(1).value("why_not", ""), HasSubstr("still to come"));
  // Its time is put right: it counts, and the other stands beside it.
  nlohmann::json record = office_.get(lead_, "/api/records/reading/2").body["record"];
  record["taken_at"] = base::instant_text(office_.now);
  ASSERT_EQ(office_.put(lead_, "/api/records/reading/2?revision=1", record).status, 200);
  page = office_.get(lead_, "/api/fleet/1").body;
  EXPECT_TRUE(page["apart"].empty()) << page["apart"].dump();
  EXPECT_EQ(page["series"].at(0)["points"].size(), 2U);
}

TEST_F(FleetTest, AReadingIsCorrectedToWhatCanBeOnly) {
  const std::int64_t light = add_light();
  give_papers(light);
  check(light, 1150);
  base::TipId other;
  office_.records().write({"1", office_.now}, [&](store::Writer& w) {
    fleet::LightEntry second = w.get<fleet::LightEntry>({light}).value().record;
    second.name = "Lamp B";
    other = w.add(fleet::TipEntry{w.add(second), "turbo", 11});
    w.add(fleet::BarrierEntry{"Sleeve", 0.9, {}, "invented"});
  });
  const nlohmann::json record = office_.get(lead_, "/api/records/reading/1").body["record"];
  const auto refused_at = [&](const char* field, const nlohmann::json& value) {
    nlohmann::json wrong = record;
    wrong[field] = value;
    const Told told = office_.put(lead_, "/api/records/reading/1?revision=1", wrong);
    EXPECT_EQ(told.status, 422) << field << told.body.dump();
    return told.body["problems"].at(0).value("field", "");
  };
  EXPECT_EQ(refused_at("tip", other.number), "tip") << "of another light";
  EXPECT_EQ(refused_at("barrier", 1), "barrier") << "none was on";
  EXPECT_EQ(refused_at("taken_at", base::instant_text(office_.now + hours(25))), "taken_at");
  EXPECT_EQ(refused_at("taken_by", 9), "taken_by");
  EXPECT_EQ(refused_at("battery", 1.2), "battery");
  EXPECT_EQ(refused_at("mode", " "), "mode");
  EXPECT_EQ(office_.get(lead_, "/api/records/reading/1").body["revision"], 1);
}

TEST_F(FleetTest, WhatWasDoneIsPlacedAtItsOwnTimeAndCorrected) {
  const std::int64_t light = add_light();
  give_papers(light);
  check(light, 1150);
  wait(hours(24 * 10));
  check(light, 1140);
  const std::int64_t room =
      office_.post(lead_, "/api/records/room", {{"site", 1}, {"name", "Room 2"}}).body.value("id", std::int64_t{0});
  const base::Instant then = office_.now - hours(24 * 5);
  const Told noted = office_.post(
      lead_, "/api/records/servicing",
      {{"light", light}, {"at", base::instant_text(then)}, {"told_by", 1}, {"what", "lent"}, {"room", room}});
  ASSERT_EQ(noted.status, 201) << noted.body.dump();
  const auto event = [&] { return office_.get(lead_, "/api/fleet/1").body["events"].at(0); };
  EXPECT_EQ(event()["at"], base::instant_text(then));
  EXPECT_EQ(event()["room_name"], "Room 2");
  const double before = office_.get(lead_, "/api/fleet/1").body["today"]["p90"];
  nlohmann::json record = office_.get(lead_, "/api/records/servicing/1").body["record"];
  record["what"] = "repaired";
  const auto correct = [&](const Browser& who) {
    return office_.put(who, "/api/records/servicing/1?revision=1", record);
  };
  EXPECT_EQ(correct(lead_).body["problems"].at(0)["field"], "room") << "a repair lends it nowhere";
  record["room"] = nullptr;
  record["at"] = base::instant_text(office_.now + hours(25));
  EXPECT_EQ(correct(lead_).body["problems"].at(0)["field"], "at");
  record["at"] = base::instant_text(then - hours(24));
  EXPECT_EQ(correct(office_.join(lead_, "ana", "assistant")).status, 403);
  ASSERT_EQ(correct(lead_).status, 200);
  EXPECT_EQ(correct(lead_).status, 409);
  EXPECT_EQ(event()["at"], base::instant_text(then - hours(24)));
  EXPECT_EQ(event()["what"], "repaired");
  EXPECT_EQ(event()["revision"], 2);
  EXPECT_NE(office_.get(lead_, "/api/fleet/1").body["today"]["p90"].get<double>(), before)
      << "a repair is a step of the output, being lent is none";
}

TEST_F(FleetTest, ACorrectedTipReachesTheLightsPageAndStaysItsLights) {
  const std::int64_t light = add_light();
  give_papers(light);
  check(light, 1150);
  const double before = office_.get(lead_, "/api/fleet/1").body["today"]["p50"];
  const Browser jon = office_.join(lead_, "jon", "clinician");
  nlohmann::json tip = office_.get(lead_, "/api/records/tip/1").body["record"];
  tip["name"] = "narrow";
  tip["diameter_mm"] = 5;
  EXPECT_EQ(office_.put(jon, "/api/records/tip/1?revision=1", tip).status, 403);
  office_.records().write({"1", office_.now},
                          [&](store::Writer& w) { w.add(w.get<fleet::LightEntry>({light}).value().record); });
  nlohmann::json moved = tip;
  moved["light"] = 2;
  const Told told = office_.put(lead_, "/api/records/tip/1?revision=1", moved);
  EXPECT_EQ(told.status, 422);
  EXPECT_EQ(told.body["problems"].at(0)["field"], "light");
  ASSERT_EQ(office_.put(lead_, "/api/records/tip/1?revision=1", tip).status, 200);
  const nlohmann::json page = office_.get(lead_, "/api/fleet/1").body;
  EXPECT_EQ(page["tips"].at(0)["name"], "narrow");
  EXPECT_EQ(page["tips"].at(0)["revision"], 2);
  EXPECT_EQ(page["series"].at(0)["tip_name"], "narrow");
  EXPECT_GT(page["today"]["p50"].get<double>(), before) << "a narrow tip fills a part of the aperture only";
}

TEST_F(FleetTest, ACertificateVouchesForReadingsThroughItsLastDayOnly) {
  const std::int64_t light = add_light();
  give_papers(light);
  check(light, 1150);
  const auto width = [&] {
    const nlohmann::json today = office_.get(lead_, "/api/fleet/1").body["today"];
    return today["p90"].get<double>() / today["p10"].get<double>();
  };
  const double uncertified = width();
  base::CertificateId certificate;
  office_.records().write({"1", office_.now}, [&](store::Writer& w) {
    certificate = w.add(fleet::CertificateEntry{
        {1}, "C-1", "a laboratory", office_.now - hours(24 * 400), office_.now - hours(24 * 35), 0.06});
  });
  EXPECT_NEAR(width(), uncertified, 1e-9) << "it had run out";
  const auto extend_to = [&](base::Instant until) {
    office_.records().write({"1", office_.now}, [&](store::Writer& w) {
      const auto kept = w.get<fleet::CertificateEntry>(certificate).value();
      fleet::CertificateEntry longer = kept.record;
      longer.valid_until = until;
      w.correct(certificate, kept.revision, longer);
    });
  };
  extend_to(office_.now + hours(24 * 30));
  const double certified = width();
  EXPECT_LT(certified, 0.95 * uncertified);
  extend_to(office_.now + hours(4));  // noon
  EXPECT_NEAR(width(), certified, 1e-9) << "its last day";
}

TEST_F(FleetTest, VioletThatARadiometerDoesNotSeeIsReckonedWith) {
  const std::int64_t light = add_light();
  give_papers(light);
  check(light, 1150);
  const auto today = [&] { return office_.get(lead_, "/api/fleet/1").body["today"]["p50"].get<double>(); };
  const auto set = [&](const std::string& of, const char* field, const nlohmann::json& value) {
    const nlohmann::json kept = office_.get(lead_, "/api/records/" + of).body;
    nlohmann::json record = kept["record"];
    record[field] = value;
    const Told told =
        office_.put(lead_, "/api/records/" + of + "?revision=" + std::to_string(kept["revision"].get<int>()), record);
    EXPECT_EQ(told.status, 200) << told.body.dump();
  };
  const double blue_alone = today();
  set("radiometer/1", "spectral_class", "blue");
  EXPECT_NEAR(today(), blue_alone, 0.01 * blue_alone) << "the light is not known to emit violet";
  set("light/1", "emits_violet", true);
  const double unseen = today();
  EXPECT_GT(unseen, 1.02 * blue_alone);
  set("radiometer/1", "spectral_class", "400 to 500 nm");
  EXPECT_LT(today(), unseen) << "other words are not known: half of it is reckoned with";
  EXPECT_GT(today(), 1.01 * blue_alone);
  set("radiometer/1", "spectral_class", "broad");
  EXPECT_NEAR(today(), blue_alone, 0.01 * blue_alone);
  set("radiometer/1", "spectral_class", "blue");
  set("light/1", "emits_violet", false);
  EXPECT_NEAR(today(), blue_alone, 0.01 * blue_alone);
}

TEST_F(FleetTest, AClaimThatALaboratoryMeasuredIsBelievedMore) {
  const std::int64_t light = add_light();
  give_papers(light);
  check(light, 1150);
  const auto width = [&] {
    const nlohmann::json today = office_.get(lead_, "/api/fleet/1").body["today"];
    return today["p90"].get<double>() - today["p10"].get<double>();
  };
  const auto say = [&](const nlohmann::json& measured) {
    const nlohmann::json kept = office_.get(lead_, "/api/records/light/1").body;
    nlohmann::json record = kept["record"];
    record["claim_measured"] = measured;
    const std::string at = "/api/records/light/1?revision=" + std::to_string(kept["revision"].get<int>());
    const Told told = office_.put(lead_, at, record);
    EXPECT_EQ(told.status, 200) << told.body.dump();
  };
  const double of_the_maker = width();
  say(true);
  EXPECT_LT(width(), 0.7 * of_the_maker);
  say(false);
  EXPECT_NEAR(width(), of_the_maker, 1e-9) << "as where nothing was said";
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

TEST_F(FleetTest, AWeakLightThatWasMendedIsAcceptedByWhatItGivesSince) {
  const std::int64_t light = add_light();
  give_papers(light);
  check(light, 410);
  const auto accept = [&] { return office_.post(lead_, at(light, "accept"), nlohmann::json::object()).status; };
  ASSERT_EQ(accept(), 422);
  ASSERT_EQ(office_.post(lead_, at(light, "refuse"), {{"because", "too weak"}}).status, 200);
  office_.now += std::chrono::minutes(10);
  const nlohmann::json repair{
      {"light", light}, {"at", base::instant_text(office_.now)}, {"told_by", 1}, {"what", "repaired"}};
  ASSERT_EQ(office_.post(lead_, "/api/records/servicing", repair).status, 201);
  EXPECT_EQ(accept(), 422) << "nobody has read it since";
  EXPECT_EQ(check(light, 1150).body["verdict"], "first") << "what it gave before is no baseline";
  ASSERT_EQ(accept(), 200) << office_.get(lead_, "/api/fleet/1").body["missing"].dump();
  EXPECT_EQ(check(light, 900).body["verdict"], "again") << "78 % of what it was accepted with";
  // A repair of a light in use begins no baseline: what it gained is seen against the one it has.
  office_.now += std::chrono::minutes(10);
  nlohmann::json again = repair;
  again["at"] = base::instant_text(office_.now);
  ASSERT_EQ(office_.post(lead_, "/api/records/servicing", again).status, 201);
  EXPECT_EQ(check(light, 1140).body["verdict"], "good");
}

TEST_F(FleetTest, ALightThatHasWeakenedSinceItsFirstReadingIsNotAccepted) {
  const std::int64_t light = add_light();
  give_papers(light);
  check(light, 1150);
  check(light, 410);
  const Told told = office_.post(lead_, at(light, "accept"), nlohmann::json::object());
  EXPECT_EQ(told.status, 422);
  EXPECT_THAT(told.body.value("sentence", ""), HasSubstr("the newest showed 410 mW/cm2"));
}

TEST_F(FleetTest, ALightWhoseFirstReadingsBelieItsClaimIsNotAccepted) {
  const std::int64_t light = add_light(2400);
  give_papers(light);
  const auto share = [&] { return office_.get(lead_, "/api/fleet/1").body["first_share_of_claim"]; };
  const auto accept = [&] { return office_.post(lead_, at(light, "accept"), nlohmann::json::object()); };
  const auto put_least = [&](double number, int revision) {
    return office_
        .put(lead_, "/api/policy/least_share_of_claim?revision=" + std::to_string(revision),
             {{"number", number}, {"source", "ours"}})
        .status;
  };
  EXPECT_TRUE(share().is_null()) << "nothing was read";
  check(light, 1150);
  EXPECT_NEAR(share()["p50"], 1150.0 / 2400, 0.001) << "whatever the maker says";
  // Nine times in ten below 0.48 exp(1.2816 sd): sd of 20 % for the radiometer, 5 % for its spectrum, 3 % for a
  // reading.
  EXPECT_NEAR(share()["p90"], 0.4792 * std::exp(1.2816 * std::hypot(0.2, 0.05, 0.0316)), 0.001);
  const Told refused = accept();
  EXPECT_EQ(refused.status, 422);
  EXPECT_THAT(refused.body.value("sentence", ""),
              HasSubstr("they tell 48 % of it, at most 63 %, and 70 % is the least"));
  EXPECT_EQ(office_.get(lead_, "/api/fleet/1").body["missing"].size(), 1U);
  // The practice asks for less, or the claim was copied wrong.
  ASSERT_EQ(put_least(0.6, 0), 200);
  EXPECT_TRUE(office_.get(lead_, "/api/fleet/1").body["missing"].empty());
  ASSERT_EQ(put_least(0.7, 1), 200);
  const nlohmann::json kept = office_.get(lead_, "/api/records/light/1").body;
  nlohmann::json record = kept["record"];
  record["claimed_mw_cm2"] = 1900;
  ASSERT_EQ(office_.put(lead_, "/api/records/light/1?revision=" + kept["revision"].dump(), record).status, 200);
  EXPECT_EQ(accept().status, 200) << "61 % of a radiometer that is good to 20 % may be 79 %";
  // First readings are those up to acceptance.
  const nlohmann::json then = share();
  wait(hours(24));
  check(light, 990);
  EXPECT_EQ(share(), then);
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

TEST_F(FleetTest, ALightThatSagsOnALowBatteryIsWatched) {
  const std::int64_t light = add_light();
  give_papers(light);
  check(light, 1150);
  ASSERT_EQ(office_.post(lead_, at(light, "accept"), nlohmann::json::object()).status, 200);
  const auto on_low_battery = [&](double shown) {
    check(light, 1150);
    office_.now += std::chrono::minutes(10);
    nlohmann::json low = check_of(light, shown);
    low["purpose"] = "low_battery";
    low["battery"] = 0.1;
    return office_.post(lead_, "/api/checks", low).body;
  };
  const auto state = [&] { return office_.get(lead_, "/api/fleet").body["lights"].at(0)["state"]; };
  EXPECT_EQ(on_low_battery(1150 * 0.95)["state"], "in use") << "a little is nothing";
  EXPECT_EQ(state(), "in use");
  const nlohmann::json told = on_low_battery(1150 * 0.7);
  // Two pairs: 1 - sqrt(0.95 * 0.7).
  const std::string sentence = "It gives 18 % less on a low battery.";
  EXPECT_EQ(told["state"], "watch");
  EXPECT_EQ(told["watch"], sentence);
  EXPECT_EQ(state(), "watch");
  const nlohmann::json page = office_.get(lead_, "/api/fleet/1").body;
  EXPECT_EQ(page["state"], "watch");
  EXPECT_EQ(page["why"], sentence);
  EXPECT_TRUE(page["alarm"].is_null()) << "no chart says so";
  EXPECT_EQ(office_.get(lead_, "/api/today").body["wrong"].at(0)["sentence"], sentence);
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
