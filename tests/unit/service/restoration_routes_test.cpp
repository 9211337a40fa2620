// A restoration recorded where it was planned. No outside source: this is our own contract.
#include <chrono>
#include <filesystem>
#include <string>
#include <thread>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/exchange/case_document.hpp"
#include "throughcure/fleet/equipment.hpp"
#include "throughcure/fleet/reading_entry.hpp"
#include "throughcure/practice/look_back.hpp"
#include "throughcure/practice/material.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/practice/restoration.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using testing::HasSubstr;
using testing::Not;

const fs::path kDemo = fs::path(THROUGHCURE_SOURCE_DIR) / "demo";

class RestorationTest : public testing::Test {
 protected:
  RestorationTest() : lead_(office_.begin()) {
    for (const char* part : {"lights", "materials"}) {
      fs::copy(kDemo / part, office_.folder() / part, fs::copy_options::recursive);
    }
    office_.records().write({"1", office_.now}, [&](store::Writer& w) {
      const base::RadiometerId radiometer = w.add(fleet::RadiometerEntry{"Meter", "R-7", 8.0, {}});
      const base::RoomId room = w.add(practice::Room{{1}, "Room 1", radiometer, {}});
      const base::MaterialId paste = w.add(practice::MaterialEntry{"Universal paste", "A3", 20.0, 2.0, {}});
      w.add(practice::Lot{paste, "L-310", {}});
      for (const char* file : {"demo-light", "lights/another.toml"}) {
        const base::LightId light = w.add(fleet::LightEntry{.room = room,
                                                            .name = "Lamp with " + std::string(file),
                                                            .serial = file,
                                                            .claimed_mw_cm2 = 1000.0,
                                                            .approval_number = "1",
                                                            .approved_by = "a",
                                                            .bought_in = {},
                                                            .warranty_until = {},
                                                            .accepted_at = office_.now,
                                                            .withdrawn_at = {},
                                                            .check_mode = "standard",
                                                            .file = file});
        const base::TipId tip = w.add(fleet::TipEntry{light, "straight", 8});
        if (light.number > 1) continue;
        w.add(fleet::ReadingEntry{.light = light,
                                  .tip = tip,
                                  .radiometer = radiometer,
                                  .room = room,
                                  .taken_by = {1},
                                  .taken_at = office_.now,
                                  .arrived_at = office_.now,
                                  .mode = "standard",
                                  .shown_mw_cm2 = 800,
                                  .second_of_press = {},
                                  .tip_clean = true,
                                  .battery = {},
                                  .note = {}});
      }
    });
  }

  /// The demo's case that cures through; "upright" is one that is not sure to.
  static json document(const std::string& which = "good") {
    return json::parse(exchange::case_document_json(kDemo / ("class2-" + which + ".toml")));
  }
  static json sent(const std::string& which = "good") {
    json all{{"chart", "4711"}, {"surfaces", "DO"}, {"light", 1},          {"tip", 1},
             {"material", 1},   {"lot", "L-310"},   {"note", "held still"}};
    all["document"] = document(which);
    all["document"]["patient"] = {{"photosensitive", true}};
    return all;
  }
  std::size_t recorded() {
    std::size_t count = 0;
    office_.records().read([&](const store::Reader& r) { count = r.list<practice::Restoration>().size(); });
    return count;
  }

  void sign_in_again() {
    lead_ = Office::signed_in(office_.post(
        {}, "/api/door/sign-in", {{"sign_in_name", "marta"}, {"password", Office::kPassword}, {"shared", false}}));
  }
  /// Of the first light, with everything as a failure is confirmed.
  Told check(double shown) {
    office_.now += std::chrono::minutes(5);
    return office_.post(lead_, "/api/checks",
                        {{"light", 1},
                         {"tip", 1},
                         {"radiometer", 1},
                         {"room", 1},
                         {"taken_at", base::instant_text(office_.now)},
                         {"mode", "standard"},
                         {"shown_mw_cm2", shown},
                         {"barrier_on", false},
                         {"tip_clean", true},
                         {"purpose", "check"}});
  }
  json worked_out_look_back() {
    json page = json::object();
    for (int i = 0; i < 3000 && page.value("state", "") != "done"; ++i) {
      std::this_thread::sleep_for(std::chrono::milliseconds(20));
      page = office_.get(lead_, "/api/look-backs/1").body;
    }
    return page;
  }

  Office office_;
  Browser lead_;
};

TEST_F(RestorationTest, TheSheetSaysWhatEachLightGivesTodayAndWhatPastesThereAre) {
  const Told told = office_.get(lead_, "/api/restoration-sheet");
  ASSERT_EQ(told.status, 200);
  ASSERT_EQ(told.body["lights"].size(), 2U);
  const json& read = told.body["lights"][0];
  EXPECT_EQ(read["file"], "lights/demo-light.toml");
  EXPECT_LT(read["today"]["p10"], read["today"]["p50"]);
  EXPECT_LT(read["today"]["p50"], read["today"]["p90"]);
  EXPECT_EQ(read["tips"][0]["diameter_mm"], 8);
  EXPECT_TRUE(told.body["lights"][1]["today"].is_null()) << "it was never read";
  EXPECT_EQ(told.body["materials"][0]["lots"][0]["number"], "L-310");
}

TEST_F(RestorationTest, IsKeptWithItsCaseItsFilesAndItsVerdictOnce) {
  const service::Header key{"idempotency-key", "0123456789abcdef"};
  const Told told = office_.post(lead_, "/api/plan/record", sent(), {key});
  ASSERT_EQ(told.status, 201) << told.body.dump();
  EXPECT_EQ(told.body["verdict"], "through-cured");
  EXPECT_EQ(office_.post(lead_, "/api/plan/record", sent(), {key}).body, told.body);
  EXPECT_EQ(recorded(), 1U);

  office_.records().read([&](const store::Reader& r) {
    const practice::Restoration made = r.get<practice::Restoration>({1}).value().record;
    EXPECT_EQ(made.tooth, std::to_string(document()["tooth"]["number"].get<int>()));
    EXPECT_EQ(made.material, "Universal paste, A3");
    EXPECT_EQ(made.placed_at, office_.now);
    EXPECT_EQ(made.engine, "1.2.3 (an engine)");
    EXPECT_GT(made.probability.value_or(0), 0.95);
    const json kept = json::parse(made.resolved_case.value_or(""));
    EXPECT_EQ(kept["version"], 1);
    EXPECT_EQ(kept["document"]["increment"], document()["increment"]);
    EXPECT_EQ(kept["files"].size(), 7U);
    for (const auto& [path, sha256] : kept["files"].items()) {
      EXPECT_FALSE(r.kept_file(sha256.get<std::string>()).empty()) << path;
    }
    EXPECT_TRUE(kept["resolved"].contains("light"));
    EXPECT_THAT(*made.resolved_case, Not(HasSubstr("photosensitive"))) << "the log shows this part to others";
  });
}

TEST_F(RestorationTest, ItsOperatorIsWhoeverIsNamedAndMayPlace) {
  office_.join(lead_, "jon", "clinician");
  office_.join(lead_, "ana", "assistant");
  json all = sent();
  all["placed_by"] = 3;
  const Told refused = office_.post(lead_, "/api/plan/record", all);
  EXPECT_EQ(refused.status, 422);
  EXPECT_EQ(refused.body["problems"].at(0)["field"], "placed_by");
  all["placed_by"] = 2;
  ASSERT_EQ(office_.post(lead_, "/api/plan/record", all).status, 201);
  EXPECT_EQ(office_.get(lead_, "/api/records/restoration/1").body["record"]["placed_by"], 2);
}

TEST_F(RestorationTest, ItsVerdictIsWordedByTheChanceThatThePracticeHasChosen) {
  const Told before = office_.post(lead_, "/api/plan/record", sent("upright"));
  ASSERT_EQ(before.status, 201) << before.body.dump();
  ASSERT_EQ(before.body["verdict"], "uncertain") << before.body.dump();
  const std::string at = "/api/policy/through_cured_chance?revision=0";
  ASSERT_EQ(office_.put(lead_, at, {{"number", 0.5}, {"source", "for deep boxes"}}).status, 200);
  const Told after = office_.post(lead_, "/api/plan/record", sent("upright"));
  EXPECT_EQ(after.body["verdict"], "through-cured") << after.body.dump();
  EXPECT_THAT(after.body.value("sentence", ""), testing::StartsWith("It cures through"));
  EXPECT_NEAR(after.body["probability"].get<double>(), before.body["probability"].get<double>(), 0.05);
}

TEST_F(RestorationTest, WhatDoesNotGoTogetherIsRefusedAndNothingIsKept) {
  const auto refused = [&](const std::string& key, const json& value) {
    json all = sent();
    all[key] = value;
    const Told told = office_.post(lead_, "/api/plan/record", all);
    EXPECT_EQ(told.status, 422) << key;
    return told.body.value("sentence", "");
  };
  EXPECT_THAT(refused("tip", 2), HasSubstr("tip"));
  EXPECT_THAT(refused("material", 9), HasSubstr("material"));
  EXPECT_THAT(refused("chart", ""), HasSubstr("chart"));
  EXPECT_THAT(refused("placed_at", "yesterday"), HasSubstr("placed_at"));
  EXPECT_THAT(refused("colour", "blue"), HasSubstr("colour"));
  EXPECT_THAT(refused("document", json::object()), HasSubstr("light"));
  json other = sent();
  other["light"] = 2;
  other["tip"] = 2;
  EXPECT_THAT(office_.post(lead_, "/api/plan/record", other).body["sentence"].get<std::string>(),
              HasSubstr("is not the light that the case was planned with"));
  other["light"] = 99;
  EXPECT_EQ(office_.post(lead_, "/api/plan/record", other).status, 404);
  EXPECT_EQ(recorded(), 0U);
}

TEST_F(RestorationTest, ItsLookBackIsWorkedOutFromWhatWasKeptAndOutlivesTheProgram) {
  ASSERT_EQ(office_.post(lead_, "/api/plan/record", sent("upright")).status, 201);
  office_.now += std::chrono::hours(7 * 24);
  sign_in_again();
  check(300);
  ASSERT_EQ(check(301).body["verdict"], "failed");
  fs::remove_all(office_.folder() / "lights");
  fs::remove_all(office_.folder() / "materials");
  ASSERT_EQ(office_.post(lead_, "/api/look-backs/1/compute", json::object()).status, 202);
  json page = worked_out_look_back();
  ASSERT_EQ(page["state"], "done");
  const json row = page["restorations"].at(0);
  EXPECT_EQ(row["why_not"], nullptr);
  ASSERT_TRUE(row["chance_under_cured"].is_number()) << row.dump();
  EXPECT_GT(row["chance_under_cured"], 1 - row["probability_then"].get<double>()) << "less light, less cure";

  // As if the program had been killed at that work.
  fs::create_directories(office_.folder() / "recomputing-AbCdEf" / "0");
  office_.open();
  sign_in_again();
  page = office_.get(lead_, "/api/look-backs/1").body;
  EXPECT_EQ(page["state"], "done");
  EXPECT_EQ(page["restorations"].at(0)["chance_under_cured"], row["chance_under_cured"]);
  ASSERT_EQ(office_
                .post(lead_, "/api/look-backs/1/decisions",
                      {{"decisions", {{{"restoration", 1}, {"what", "recall"}, {"reason", "soft"}}}},
                       {"password", Office::kPassword}})
                .status,
            201);
  office_.records().read([&](const store::Reader& r) {
    EXPECT_EQ(r.list<practice::Decision>().at(0).record.chance_under_cured, row["chance_under_cured"].get<double>());
  });

  // The first reading was mistyped: what was worked out with it holds no more.
  json reading = office_.get(lead_, "/api/records/reading/1").body["record"];
  reading["shown_mw_cm2"] = 700;
  ASSERT_EQ(office_.put(lead_, "/api/records/reading/1?revision=1", reading).status, 200);
  page = office_.get(lead_, "/api/look-backs/1").body;
  EXPECT_EQ(page["state"], "waiting");
  EXPECT_EQ(page["restorations"].at(0)["chance_under_cured"], nullptr);
  for (const auto& left : fs::directory_iterator(office_.folder())) {
    EXPECT_THAT(left.path().filename().string(), Not(testing::StartsWith("recomputing")));
  }
}

TEST_F(RestorationTest, ItsLightItsTipAndItsTimeAreCorrectedWithinOnesSite) {
  base::SiteId other;
  base::LightId far;
  base::TipId far_tip;
  office_.records().write({"1", office_.now}, [&](store::Writer& w) {
    w.add(practice::Restoration{.chart = "4711",
                                .tooth = "36",
                                .surfaces = "DO",
                                .placed_at = office_.now,
                                .placed_by = {1},
                                .light = {1},
                                .tip = {1},
                                .material = "Universal paste, A3",
                                .lot = "",
                                .barrier_pass = {},
                                .resolved_case = {},
                                .probability = {},
                                .seed = {},
                                .engine = {},
                                .note = {}});
    other = w.add(practice::Site{"Mill lane", "Europe/Lisbon"});
    fleet::LightEntry light = w.get<fleet::LightEntry>({2}).value().record;
    light.room = w.add(practice::Room{other, "Far room", {}, {}});
    far = w.add(light);
    far_tip = w.add(fleet::TipEntry{far, "straight", 8});
  });
  ASSERT_EQ(office_.post(lead_, "/api/fleet/1/withdraw", {{"because", "its lens is loose"}}).body["look_back"], 1);
  const auto named = [&] { return office_.get(lead_, "/api/look-backs/1").body["counts"]["all"].get<int>(); };
  EXPECT_EQ(named(), 1);
  const Browser jon = office_.join(lead_, "jon", "clinician");
  const Browser otto = office_.join(lead_, "otto", "clinician", other.number);
  const json record = office_.get(jon, "/api/records/restoration/1").body["record"];
  const auto correct = [&](const Browser& who, std::int64_t light, std::int64_t tip) {
    json corrected = record;
    corrected["light"] = light;
    corrected["tip"] = tip;
    corrected["placed_at"] = base::instant_text(office_.now - std::chrono::hours(1));
    return office_.put(who, "/api/records/restoration/1?revision=1", corrected);
  };
  for (const auto& [light, tip] : {std::pair(1, 2), std::pair(2, 1)}) {
    const Told told = correct(jon, light, tip);
    EXPECT_EQ(told.status, 422);
    EXPECT_EQ(told.body["problems"].at(0)["field"], "tip");
  }
  EXPECT_EQ(correct(jon, 99, 1).status, 422) << "there is no such light";
  EXPECT_EQ(correct(jon, far.number, far_tip.number).status, 403);
  EXPECT_EQ(correct(otto, far.number, far_tip.number).status, 404) << "it is not there for him";
  EXPECT_EQ(named(), 1);
  ASSERT_EQ(correct(jon, 2, 2).status, 200);
  EXPECT_EQ(named(), 0) << "another light cured it";
  const json history = office_.get(jon, "/api/records/restoration/1/history").body["revisions"];
  ASSERT_EQ(history.size(), 2U);
  EXPECT_EQ(history.at(0)["record"]["light"], 1);
  EXPECT_EQ(history.at(1)["record"]["placed_at"], base::instant_text(office_.now - std::chrono::hours(1)));
}

TEST_F(RestorationTest, IsForCliniciansAndOfTheirSite) {
  const Browser ana = office_.join(lead_, "ana", "assistant");
  EXPECT_EQ(office_.post(ana, "/api/plan/record", sent()).status, 403);
  base::SiteId other;
  office_.records().write({"1", office_.now},
                          [&](store::Writer& w) { other = w.add(practice::Site{"Mill lane", "Europe/Lisbon"}); });
  const Browser otto = office_.join(lead_, "otto", "clinician", other.number);
  EXPECT_EQ(office_.post(otto, "/api/plan/record", sent()).status, 404);
  EXPECT_TRUE(office_.get(otto, "/api/restoration-sheet").body["lights"].empty());
}

}  // namespace
}  // namespace throughcure::tests
