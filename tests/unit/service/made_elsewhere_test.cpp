// A light that moved from one site to another, or was lent there: what was made with it stays where it was made, and
// its look-back is worked through at both. No outside source: our own contract.
#include <chrono>
#include <filesystem>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/exchange/case_document.hpp"
#include "throughcure/fleet/equipment.hpp"
#include "throughcure/practice/material.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/practice/restoration.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using nlohmann::json;
using service::Method;
using testing::HasSubstr;
using testing::Not;

constexpr std::chrono::hours kDay{24};
const std::filesystem::path kDemo = std::filesystem::path(THROUGHCURE_SOURCE_DIR) / "demo";
const std::string kLookBack = "/api/look-backs/1";

/// Light 1 stands in the near room at first; light 2 stays there. Jon works at the near site, Otto at the far one.
class MadeElsewhereTest : public testing::Test {
 protected:
  MadeElsewhereTest() : lead_(office_.begin()) {
    office_.records().write({"1", day(-30)}, [&](store::Writer& w) {
      far_site_ = w.add(practice::Site{"Mill lane", "Europe/Lisbon"});
      near_ = w.add(practice::Room{{1}, "Near room", {}, {}});
      far_ = w.add(practice::Room{far_site_, "Far room", {}, {}});
      paste_ = w.add(practice::MaterialEntry{"Paste", "A3"});
      for (const char* name : {"Roaming lamp", "Near lamp"}) {
        const auto light = w.add(fleet::LightEntry{.room = near_,
                                                   .name = name,
                                                   .serial = name,
                                                   .claimed_mw_cm2 = 1200.0,
                                                   .approval_number = "1",
                                                   .approved_by = "a",
                                                   .bought_in = {},
                                                   .warranty_until = {},
                                                   .accepted_at = day(-30),
                                                   .withdrawn_at = {},
                                                   .check_mode = "standard"});
        w.add(fleet::TipEntry{light, "straight", 8});
      }
    });
    jon_ = office_.join(lead_, "jon", "clinician");
    otto_ = office_.join(lead_, "otto", "clinician", far_site_.number);
  }

  [[nodiscard]] base::Instant day(int count) const { return office_.now + kDay * count; }
  /// Light 1 is of the far room from that day on.
  void move(int on) {
    office_.records().write({"1", day(on)}, [&](store::Writer& w) {
      const auto kept = w.get<fleet::LightEntry>({1}).value();
      fleet::LightEntry light = kept.record;
      light.room = far_;
      w.correct(kept.id, kept.revision, light);
    });
  }
  Told place(const Browser& who, const std::string& chart, int on) {
    return office_.post(who, "/api/records/restoration",
                        {{"chart", chart},
                         {"tooth", "36"},
                         {"surfaces", "DO"},
                         {"placed_at", base::instant_text(day(on))},
                         {"placed_by", 1},
                         {"light", 1},
                         {"tip", 1},
                         {"material", "paste"},
                         {"lot", ""}});
  }
  /// As restorations were kept before their room was.
  void place_without_room(const std::string& chart, int on) {
    office_.records().write({"1", office_.now}, [&](store::Writer& w) {
      w.add(practice::Restoration{.chart = chart,
                                  .tooth = "36",
                                  .surfaces = "DO",
                                  .placed_at = day(on),
                                  .placed_by = {1},
                                  .light = {1},
                                  .tip = {1},
                                  .material = "paste",
                                  .lot = "",
                                  .barrier_pass = {},
                                  .resolved_case = {},
                                  .probability = {},
                                  .seed = {},
                                  .engine = {},
                                  .note = {}});
    });
  }
  /// Without a plan.
  Told record(const Browser& who, const std::string& chart, int on) {
    return office_.post(who, "/api/unplanned-restorations",
                        {{"chart", chart},
                         {"tooth", "36"},
                         {"placed_at", base::instant_text(day(on))},
                         {"light", 1},
                         {"tip", 1},
                         {"material", paste_.number}});
  }
  /// With the demo's case, whose files are the practice's.
  Told record_planned(const Browser& who, int on) {
    return office_.post(who, "/api/plan/record",
                        {{"document", json::parse(exchange::case_document_json(kDemo / "class2-good.toml"))},
                         {"chart", "planned"},
                         {"surfaces", "DO"},
                         {"placed_at", base::instant_text(day(on))},
                         {"light", 1},
                         {"tip", 1}});
  }
  void lend(const char* what, int on) {
    const json event{
        {"light", 1}, {"at", base::instant_text(day(on))}, {"told_by", 1}, {"what", what}, {"room", far_.number}};
    EXPECT_EQ(office_.post(lead_, "/api/records/servicing", event).status, 201);
  }
  /// The lights of the sheet: in which room, and whether they left.
  json offered(const Browser& who, const std::string& query = "") {
    json found = json::object();
    const json answer = office_.get(who, "/api/restoration-sheet" + query).body;
    for (const json& row : answer["lights"]) {
      found[row["name"].get<std::string>()] = {row["room_name"], !row["left_at"].is_null()};
    }
    return found;
  }
  static std::string at(std::int64_t restoration) { return "/api/records/restoration/" + std::to_string(restoration); }
  Told correct(const Browser& who, std::int64_t restoration, const json& otherwise) {
    const json kept = office_.get(lead_, at(restoration)).body;
    json record = kept["record"];
    record.update(otherwise);
    return office_.put(who, at(restoration) + "?revision=" + std::to_string(kept["revision"].get<int>()), record);
  }
  json room(std::int64_t restoration) { return office_.get(lead_, at(restoration)).body["record"]["room"]; }
  /// The chart numbers that the list of restorations shows.
  std::set<std::string> listed(const Browser& who) {
    std::set<std::string> found;
    const json answer = office_.get(who, "/api/records/restoration").body;
    for (const json& row : answer["records"]) {
      found.insert(row["record"]["chart"].get<std::string>());
    }
    return found;
  }
  std::size_t found(const Browser& who, const std::string& chart) {
    return office_.post(who, "/api/restoration-search", {{"chart", chart}}).body["restorations"].size();
  }
  std::set<std::string> in_doubt(const Browser& who) {
    std::set<std::string> charts;
    const json answer = office_.get(who, kLookBack).body;
    for (const json& row : answer["restorations"]) {
      charts.insert(row["chart"].get<std::string>());
    }
    return charts;
  }
  Told decide(const Browser& who, const std::vector<std::int64_t>& restorations) {
    json wishes = json::array();
    for (const std::int64_t one : restorations) {
      wishes.push_back({{"restoration", one}, {"what", "watch"}, {"reason", "shallow"}});
    }
    return office_.post(who, kLookBack + "/decisions", {{"decisions", wishes}, {"password", Office::kPassword}});
  }
  Told act(const Browser& who, const std::string& what) {
    const json body = what == "merge" ? json{{"into", 1}} : json::object();
    return office_.post(who, kLookBack + "/" + what, body);
  }

  Office office_;
  Browser lead_;
  Browser jon_;
  Browser otto_;
  base::SiteId far_site_;
  base::RoomId near_;
  base::RoomId far_;
  base::MaterialId paste_;
};

using Charts = std::set<std::string>;

TEST_F(MadeElsewhereTest, WhatWasMadeBeforeALightMovedStaysWhereItWasMade) {
  move(-10);
  ASSERT_EQ(place(lead_, "before", -20).status, 201);
  ASSERT_EQ(place(otto_, "after", -5).status, 201);
  EXPECT_EQ(room(1), near_.number);
  EXPECT_EQ(room(2), far_.number);
  EXPECT_EQ(listed(jon_), Charts{"before"});
  EXPECT_EQ(listed(otto_), Charts{"after"});
  EXPECT_EQ(listed(lead_), (Charts{"before", "after"}));
  EXPECT_EQ(found(jon_, "before"), 1U);
  EXPECT_EQ(found(otto_, "before"), 0U);
  EXPECT_EQ(found(otto_, "after"), 1U);
  EXPECT_EQ(found(jon_, "after"), 0U);
  EXPECT_EQ(office_.get(jon_, at(1) + "/history").status, 200);
  EXPECT_EQ(office_.get(otto_, at(1) + "/history").status, 404);
  EXPECT_EQ(office_.get(jon_, at(2)).status, 404);

  const std::string paper = "/api/attachments?belongs_to=restoration&about=picture&record=1";
  const auto attach = [&](const Browser& who) {
    return office_.ask(who, Method::post, paper, "%PDF-1.7", {{"x-file-name", "a.pdf"}}).status;
  };
  EXPECT_EQ(attach(otto_), 404);
  EXPECT_EQ(attach(jon_), 201);
  EXPECT_EQ(office_.get(otto_, "/api/attachments/1").status, 404);
  EXPECT_EQ(office_.get(jon_, "/api/attachments/1").status, 200);

  EXPECT_EQ(place(otto_, "not here", -20).status, 403) << "it belongs to where the light was";
  EXPECT_EQ(place(jon_, "written up late", -15).status, 201);
  EXPECT_EQ(place(jon_, "not here", -5).status, 403);
}

TEST_F(MadeElsewhereTest, WithoutARoomOnRecordItGoesWithItsLight) {
  place_without_room("old", -20);
  EXPECT_EQ(listed(jon_), Charts{"old"});
  move(-10);
  EXPECT_EQ(listed(jon_), Charts{});
  EXPECT_EQ(listed(otto_), Charts{"old"});
  EXPECT_EQ(found(otto_, "old"), 1U);
  ASSERT_EQ(correct(otto_, 1, {{"lot", "7"}}).status, 200);
  EXPECT_TRUE(room(1).is_null()) << "neither its light nor its time was corrected";
}

TEST_F(MadeElsewhereTest, ItsRoomFollowsFromItsLightAndItsTimeWhereTheyAreCorrected) {
  move(-10);
  ASSERT_EQ(place(otto_, "a", -5).status, 201);
  ASSERT_EQ(correct(otto_, 1, {{"lot", "7"}}).status, 200);
  EXPECT_EQ(room(1), far_.number);
  const Told by_hand = correct(lead_, 1, {{"room", near_.number}});
  EXPECT_EQ(by_hand.status, 422);
  EXPECT_EQ(by_hand.body["problems"].at(0)["field"], "room");
  // Nor is a verdict: the program worked it out, or nobody did.
  const std::vector<std::pair<const char*, json>> worked_out = {
      {"probability", 0.99}, {"seed", 5}, {"engine", "by hand"}, {"resolved_case", "{}"}};
  for (const auto& [field, value] : worked_out) {
    const Told told = correct(lead_, 1, {{field, value}});
    EXPECT_EQ(told.status, 422) << field;
    EXPECT_EQ(told.body["problems"].at(0)["field"], field);
  }
  const json earlier{{"placed_at", base::instant_text(day(-20))}};
  EXPECT_EQ(correct(otto_, 1, earlier).status, 403) << "it would be at another site";
  ASSERT_EQ(correct(lead_, 1, earlier).status, 200);
  EXPECT_EQ(room(1), near_.number);
  EXPECT_EQ(listed(jon_), Charts{"a"});
  EXPECT_EQ(listed(otto_), Charts{});
  const json read_before = office_.get(lead_, at(1)).body;
  ASSERT_EQ(correct(lead_, 1, {{"placed_at", base::instant_text(day(-5))}}).status, 200);
  EXPECT_EQ(listed(otto_), Charts{"a"});
  const std::string stale = at(1) + "?revision=" + std::to_string(read_before["revision"].get<int>());
  EXPECT_EQ(office_.put(lead_, stale, read_before["record"]).status, 409) << "its room was found anew meanwhile";
  ASSERT_EQ(correct(lead_, 1, {{"light", 2}, {"tip", 2}}).status, 200);
  EXPECT_EQ(room(1), near_.number);
  EXPECT_EQ(listed(jon_), Charts{"a"});
}

TEST_F(MadeElsewhereTest, WhatWasMadeWhileALightWasLentBelongsWhereItWasLentTo) {
  const auto note = [&](const char* what, int on) {
    const json event{
        {"light", 1}, {"at", base::instant_text(day(on))}, {"told_by", 1}, {"what", what}, {"room", far_.number}};
    EXPECT_EQ(office_.post(lead_, "/api/records/servicing", event).status, 201);
  };
  note("lent", -8);
  note("returned", -4);
  int restoration = 0;
  for (const auto& [on, expected] : {std::pair(-9, near_), std::pair(-6, far_), std::pair(-2, near_)}) {
    ASSERT_EQ(place(lead_, std::to_string(on), on).status, 201);
    EXPECT_EQ(room(++restoration), expected.number) << on;
  }
  EXPECT_EQ(listed(jon_), (Charts{"-9", "-2"}));
  EXPECT_EQ(listed(otto_), Charts{"-6"});
}

TEST_F(MadeElsewhereTest, AListFromBeforeIsImportedWhereItBelongs) {
  move(-10);
  const std::string list =
      "Chart,Date,Tooth,By,Light,Material\n"
      "C-1,2025-12-16 10:00,36,Marta Vint,Roaming lamp,paste\n"
      "C-2,2025-12-31 10:00,36,Marta Vint,Roaming lamp,paste\n";
  const auto upload = [&](const Browser& who) {
    return office_.ask(who, Method::post, "/api/imports?kind=restoration", list, {{"x-file-name", "a.csv"}}).body;
  };
  const json of_otto = upload(otto_);
  EXPECT_EQ(of_otto["accepted"], 1) << of_otto.dump();
  EXPECT_THAT(of_otto["rejected"].dump(), HasSubstr("at another site then"));
  const json of_all = upload(lead_);
  EXPECT_EQ(of_all["accepted"], 2) << of_all.dump();
  const std::string keep = "/api/imports/" + of_all["id"].get<std::string>() + "/keep";
  ASSERT_EQ(office_.post(lead_, keep, json::object(), {{"idempotency-key", "0123456789abcdef"}}).status, 201);
  EXPECT_EQ(room(1), near_.number);
  EXPECT_EQ(room(2), far_.number);
}

TEST_F(MadeElsewhereTest, AListNamesALightThatMovedOnWhereItWasThen) {
  move(-10);
  const std::string list =
      "Chart,Date,Tooth,By,Light,Material\n"
      "C-1,2025-12-16 10:00,36,Marta Vint,Roaming lamp,paste\n"
      "C-2,2025-12-31 10:00,36,Marta Vint,Roaming lamp,paste\n";
  const json of_jon =
      office_.ask(jon_, Method::post, "/api/imports?kind=restoration", list, {{"x-file-name", "a.csv"}}).body;
  EXPECT_EQ(of_jon["accepted"], 1) << of_jon.dump();
  EXPECT_THAT(of_jon["rejected"].dump(), HasSubstr("at another site then"));
}

TEST_F(MadeElsewhereTest, ALightThatIsLentIsRecordedWhereItWasThen) {
  lend("lent", -2);
  EXPECT_EQ(record(otto_, "now", 0).status, 201) << "it stands in his room";
  EXPECT_EQ(record(jon_, "before", -3).status, 201) << "it stood in his";
  const Told elsewhere = record(jon_, "now too", 0);
  EXPECT_EQ(elsewhere.status, 422);
  EXPECT_EQ(elsewhere.body["problems"].at(0)["field"], "light");
  EXPECT_THAT(elsewhere.text, HasSubstr("at another site then"));
  EXPECT_THAT(elsewhere.text, Not(HasSubstr("when it was placed"))) << "nobody is asked for another time";
  EXPECT_EQ(listed(jon_), Charts{"before"});
  EXPECT_EQ(listed(otto_), Charts{"now"});
  EXPECT_EQ(offered(jon_)["Roaming lamp"], (json{"Near room", true}));
  EXPECT_EQ(offered(otto_)["Roaming lamp"], (json{"Far room", false}));
  EXPECT_FALSE(offered(otto_).contains("Near lamp"));
}

TEST_F(MadeElsewhereTest, ALightThatMovedIsWrittenUpLateWhereItWas) {
  move(-1);
  EXPECT_EQ(record(jon_, "on the day before", -2).status, 201);
  EXPECT_EQ(record(jon_, "today", 0).status, 422);
  EXPECT_EQ(record(otto_, "here", 0).status, 201);
  EXPECT_EQ(record(otto_, "before it came", -2).status, 422);
  EXPECT_EQ(offered(jon_)["Roaming lamp"], (json{"Near room", true}));
  EXPECT_EQ(offered(otto_)["Roaming lamp"], (json{"Far room", false}));
}

TEST_F(MadeElsewhereTest, ALightThatLeftLongAgoIsNamedOnlyByWhatWasMadeWithIt) {
  ASSERT_EQ(place(lead_, "old", -25).status, 201);
  move(-20);
  office_.now += kDay * 40;
  lead_ = Office::signed_in(office_.post(
      {}, "/api/door/sign-in", {{"sign_in_name", "marta"}, {"password", Office::kPassword}, {"shared", false}}));
  const Browser kim = office_.join(lead_, "kim", "clinician");
  EXPECT_FALSE(offered(kim).contains("Roaming lamp"));
  EXPECT_EQ(offered(kim, "?made=1")["Roaming lamp"], (json{"Near room", true}));
  const Browser noa = office_.join(lead_, "noa", "clinician", far_site_.number);
  EXPECT_EQ(office_.get(noa, "/api/restoration-sheet?made=1").status, 404);
  const Browser vera = office_.join(lead_, "vera", "viewer");
  EXPECT_EQ(office_.get(vera, "/api/restoration-sheet?made=1").status, 403);
}

TEST_F(MadeElsewhereTest, WhatWasPlannedIsRecordedBySitesTheSameWay) {
  for (const char* part : {"lights", "materials"}) {
    std::filesystem::copy(kDemo / part, office_.folder() / part, std::filesystem::copy_options::recursive);
  }
  lend("lent", -2);
  EXPECT_EQ(record_planned(otto_, 0).status, 201);
  EXPECT_EQ(record_planned(jon_, -3).status, 201);
  EXPECT_EQ(record_planned(jon_, 0).status, 422);
  EXPECT_EQ(record_planned(otto_, -3).status, 422);
  EXPECT_EQ(room(1), far_.number);
  EXPECT_EQ(room(2), near_.number);
}

TEST_F(MadeElsewhereTest, ALookBackIsThereForBothSitesEachWithItsOwn) {
  move(-10);
  ASSERT_EQ(place(jon_, "near 1", -20).status, 201);
  ASSERT_EQ(place(jon_, "near 2", -15).status, 201);
  ASSERT_EQ(place(otto_, "far 3", -5).status, 201);
  const json because{{"light", 1}, {"note", "its lens is loose"}};
  EXPECT_EQ(office_.post(jon_, "/api/look-backs", because).status, 404) << "the light is not his";
  ASSERT_EQ(office_.post(otto_, "/api/look-backs", because).status, 201);
  const base::SiteId third = [&] {
    base::SiteId site;
    office_.records().write({"1", office_.now},
                            [&](store::Writer& w) { site = w.add(practice::Site{"Hill road", "Europe/Lisbon"}); });
    return site;
  }();
  const Browser mia = office_.join(lead_, "mia", "clinician", third.number);

  const auto heads = [&](const Browser& who) { return office_.get(who, "/api/look-backs").body["look_backs"]; };
  const auto told = [&](const Browser& who) {
    const json head = heads(who).at(0);
    return json{head["restorations"], head["elsewhere"]["restorations"], head["elsewhere"]["undecided"],
                head["light_here"]};
  };
  EXPECT_EQ(told(jon_), (json{2, 1, 1, false}));
  EXPECT_EQ(told(otto_), (json{1, 2, 2, true}));
  EXPECT_EQ(told(lead_), (json{3, 0, 0, true}));
  EXPECT_EQ(heads(mia), json::array());
  EXPECT_EQ(office_.get(mia, kLookBack).status, 404);

  EXPECT_EQ(in_doubt(jon_), (Charts{"near 1", "near 2"}));
  EXPECT_EQ(in_doubt(otto_), Charts{"far 3"});
  EXPECT_EQ(in_doubt(lead_), (Charts{"near 1", "near 2", "far 3"}));
  const json of_jon = office_.get(jon_, kLookBack + "?limit=1").body;
  EXPECT_EQ(of_jon["counts"]["all"], 2);
  EXPECT_EQ(of_jon["elsewhere"], (json{{"restorations", 1}, {"undecided", 1}}));
  EXPECT_THAT(of_jon.value("sentence", ""), HasSubstr("2 restorations were cured at your site with Roaming lamp"));
  EXPECT_THAT(of_jon.value("sentence", ""), HasSubstr("One more was made at another site"));
  EXPECT_THAT(of_jon.dump(), Not(HasSubstr("far 3")));
  const std::string next = kLookBack + "/restorations?limit=1&after=" + of_jon["after"].get<std::string>();
  EXPECT_THAT(office_.get(jon_, next).body["restorations"].at(0).value("chart", ""), testing::StartsWith("near"));
  EXPECT_EQ(office_.get(lead_, kLookBack).body["sentence"].get<std::string>().find("site"), std::string::npos);
  EXPECT_EQ(office_.get(jon_, "/api/today").body["look_backs"].at(0)["undecided"], 2);
  EXPECT_EQ(office_.get(otto_, "/api/today").body["look_backs"].at(0)["undecided"], 1);
  EXPECT_EQ(office_.get(mia, "/api/today").body["look_backs"], json::array());
}

TEST_F(MadeElsewhereTest, EachSiteDecidesAboutItsOwnAndTheSiteOfTheLightClosesIt) {
  move(-10);
  ASSERT_EQ(place(jon_, "near 1", -20).status, 201);
  ASSERT_EQ(place(jon_, "near 2", -15).status, 201);
  ASSERT_EQ(place(otto_, "far 3", -5).status, 201);
  ASSERT_EQ(office_.post(otto_, "/api/look-backs", {{"light", 1}, {"note", "its lens is loose"}}).status, 201);
  EXPECT_EQ(decide(otto_, {1}).status, 422) << "it is not there for him";
  EXPECT_EQ(decide(jon_, {2, 3}).status, 422);
  ASSERT_EQ(decide(otto_, {3}).status, 201);
  for (const char* what : {"close", "reopen", "merge"}) EXPECT_EQ(act(jon_, what).status, 403) << what;
  EXPECT_EQ(act(otto_, "close").status, 422) << "those of the other site have no decision yet";
  const std::string waits = office_.get(otto_, kLookBack).body["sentence"];
  EXPECT_THAT(waits, HasSubstr("Every one is decided."));
  EXPECT_THAT(waits, HasSubstr("2 more were made at other sites"));
  EXPECT_THAT(waits, HasSubstr("without a decision: 2."));
  ASSERT_EQ(decide(jon_, {1, 2}).status, 201);
  EXPECT_EQ(office_.get(jon_, "/api/records/decision").body["records"].size(), 2U);
  EXPECT_EQ(office_.get(otto_, "/api/records/decision").body["records"].size(), 1U);
  const Told closed = act(otto_, "close");
  ASSERT_EQ(closed.status, 200) << closed.text;
  EXPECT_EQ(closed.body["decided"], 1);
  EXPECT_EQ(closed.body["elsewhere"], (json{{"restorations", 2}, {"undecided", 0}}));
  EXPECT_EQ(decide(jon_, {1}).status, 422) << "it is closed";
}

}  // namespace
}  // namespace throughcure::tests
