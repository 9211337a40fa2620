// Checks as a phone sends them. No outside source: this is our own contract; limits are the policy's as delivered.
#include <array>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/fleet/equipment.hpp"
#include "throughcure/fleet/reading_entry.hpp"
#include "throughcure/practice/look_back.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/practice/restoration.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using service::Method;
using std::chrono::hours;
using std::chrono::minutes;

class CheckTest : public testing::Test {
 protected:
  CheckTest() : lead_(office_.begin()), ana_(office_.join(lead_, "ana", "assistant")) {
    office_.records().write({"1", office_.now}, [&](store::Writer& w) {
      radiometer_ = w.add(fleet::RadiometerEntry{"Meter", "R-7", 8.0, {}});
      room_ = w.add(practice::Room{{1}, "Room 1", radiometer_, {}});
      light_ = w.add(fleet::LightEntry{.room = room_,
                                       .name = "Lamp A",
                                       .serial = "K-1",
                                       .claimed_mw_cm2 = 1200.0,
                                       .approval_number = "INV-1",
                                       .approved_by = "agency",
                                       .bought_in = {},
                                       .warranty_until = {},
                                       .accepted_at = office_.now,
                                       .withdrawn_at = {},
                                       .check_mode = "standard",
                                       .battery = "lithium-ion"});
      tip_ = w.add(fleet::TipEntry{light_, "straight", 8});
    });
  }

  nlohmann::json check(double shown) const {
    return {{"light", light_.number},
            {"tip", tip_.number},
            {"radiometer", radiometer_.number},
            {"room", room_.number},
            {"taken_at", base::instant_text(office_.now)},
            {"mode", "standard"},
            {"shown_mw_cm2", shown},
            {"second_of_press", 5},
            {"barrier_on", false},
            {"tip_clean", true},
            {"battery", 1},
            {"purpose", "check"}};
  }
  Told take(const nlohmann::json& check, std::vector<service::Header> headers = {}) {
    office_.now += minutes(2);
    return office_.post(ana_, "/api/checks", check, std::move(headers));
  }
  std::string verdict(double shown) {
    const Told told = take(check(shown));
    EXPECT_EQ(told.status, 201) << told.body.dump();
    return told.body.value("verdict", "");
  }
  /// Later than a session lasts: she signs in again.
  void wait(std::chrono::hours time) {
    office_.now += time;
    ana_ = Office::signed_in(office_.post(
        {}, "/api/door/sign-in", {{"sign_in_name", "ana"}, {"password", Office::kPassword}, {"shared", false}}));
  }
  template <class Record>
  Record kept(base::Id<typename Record::Kind> id) {
    std::optional<Record> found;
    office_.records().read([&](const store::Reader& r) { found = r.get<Record>(id).value().record; });
    return *found;
  }

  Office office_;
  Browser lead_;
  Browser ana_;
  base::RadiometerId radiometer_;
  base::RoomId room_;
  base::LightId light_;
  base::TipId tip_;
};

TEST_F(CheckTest, SaysAtOnceHowTheLightStands) {
  EXPECT_EQ(verdict(1100), "first");
  const Told good = take(check(1080));
  EXPECT_EQ(good.body["verdict"], "good");
  EXPECT_NEAR(good.body["share"].get<double>(), 1080.0 / 1100, 1e-12);
  EXPECT_EQ(good.body["baseline_mw_cm2"], 1100);
  EXPECT_EQ(verdict(970), "look") << "below nine tenths of the baseline";
  const Told low = take(check(870));
  EXPECT_EQ(low.body["verdict"], "again") << "below eight tenths";
  EXPECT_TRUE(low.body["ask"].is_object());
  EXPECT_EQ(low.body["look_back"], nullptr);
  EXPECT_EQ(kept<fleet::LightEntry>(light_).withdrawn_at, std::nullopt) << "one reading condemns no light";
  EXPECT_EQ(verdict(1050), "good") << "it was a slip";
}

TEST_F(CheckTest, AFailureThatIsConfirmedWithdrawsTheLightAndOpensALookBack) {
  EXPECT_EQ(verdict(1100), "first");
  const base::Instant good = office_.now - minutes(2);
  wait(hours(24 * 7));
  EXPECT_EQ(verdict(420), "again");
  nlohmann::json covered = check(410);
  covered["barrier_on"] = true;
  EXPECT_EQ(take(covered).body["verdict"], "again") << "with a barrier on it confirms nothing";
  nlohmann::json empty = check(410);
  empty["battery"] = 0.5;
  EXPECT_EQ(take(empty).body["verdict"], "again") << "nor with half a battery";
  const Told failed = take(check(415));
  EXPECT_EQ(failed.body["verdict"], "failed");
  EXPECT_EQ(failed.body["state"], "withdrawn");
  ASSERT_EQ(failed.body["look_back"], 1);
  const auto look_back = kept<practice::LookBack>({1});
  EXPECT_EQ(look_back.good_until, good);
  EXPECT_EQ(look_back.light, light_);
  EXPECT_EQ(look_back.opened_by.number, 2);
  EXPECT_EQ(kept<fleet::LightEntry>(light_).withdrawn_at, office_.now);
  EXPECT_EQ(take(check(400)).body["look_back"], 1) << "one failure opens one look-back";
}

TEST_F(CheckTest, ALightThatWasNeverAcceptedAndWasCuredWithIsLookedBackAtToo) {
  std::array<nlohmann::json, 2> checks;
  office_.records().write({"1", office_.now}, [&](store::Writer& w) {
    fleet::LightEntry light = w.get<fleet::LightEntry>(light_).value().record;
    light.accepted_at.reset();
    for (nlohmann::json& one : checks) {
      const base::LightId id = w.add(light);
      one = check(420);
      one["light"] = id.number;
      one["tip"] = w.add(fleet::TipEntry{id, "straight", 8}).number;
    }
    w.add(practice::Restoration{.chart = "C-1",
                                .tooth = "36",
                                .surfaces = "DO",
                                .placed_at = office_.now,
                                .placed_by = {1},
                                .light = {checks[0]["light"].get<std::int64_t>()},
                                .tip = {checks[0]["tip"].get<std::int64_t>()},
                                .material = "paste",
                                .lot = "7",
                                .barrier_pass = {},
                                .resolved_case = {},
                                .probability = {},
                                .seed = {},
                                .engine = {},
                                .note = {}});
  });
  const auto twice = [&](nlohmann::json one) {
    take(one);
    one["taken_at"] = base::instant_text(office_.now);
    return take(one).body;
  };
  const nlohmann::json used = twice(checks[0]);
  EXPECT_EQ(used["verdict"], "failed");
  EXPECT_EQ(used["state"], "withdrawn") << "that it was never accepted does not matter any more";
  ASSERT_EQ(used["look_back"], 1);
  const nlohmann::json page = office_.get(lead_, "/api/look-backs/1").body;
  EXPECT_EQ(page["restorations"].at(0)["chart"], "C-1");
  EXPECT_EQ(office_.post(lead_, "/api/fleet/2/accept", nlohmann::json::object()).status, 422);

  const nlohmann::json unused = twice(checks[1]);
  EXPECT_EQ(unused["verdict"], "failed");
  EXPECT_EQ(unused["state"], "not accepted") << "nothing was cured with it";
  EXPECT_EQ(unused["look_back"], nullptr);
  EXPECT_EQ(office_.post(lead_, "/api/fleet/3/withdraw", {{"because", "weak"}}).status, 422);

  for (int i = 0; i < 3; ++i) {
    nlohmann::json good = checks[0];
    good["shown_mw_cm2"] = 1100;
    good["taken_at"] = base::instant_text(office_.now);
    take(good);
  }
  EXPECT_EQ(office_.post(lead_, "/api/fleet/2/return", nlohmann::json::object()).body["state"], "not accepted");
}

TEST_F(CheckTest, OldFailuresConfirmNothing) {
  verdict(1100);
  EXPECT_EQ(verdict(420), "again");
  wait(hours(25));
  EXPECT_EQ(verdict(420), "again");
}

TEST_F(CheckTest, WhatDoesNotCountSaysSo) {
  verdict(1100);
  nlohmann::json dirty = check(500);
  dirty["tip_clean"] = false;
  EXPECT_EQ(take(dirty).body["verdict"], "again");
  nlohmann::json before = check(700);
  before["purpose"] = "before_cleaning";
  EXPECT_EQ(take(before).body["verdict"], "noted");
  // It was "good" once, by what a snug barrier lets through: a seam or a wrinkle takes what nobody knows.
  nlohmann::json seam = check(1090);
  seam["barrier_on"] = true;
  seam["barrier_smooth"] = false;
  seam["disinfected"] = false;
  const Told told = take(seam);
  EXPECT_EQ(told.body["verdict"], "again");
  EXPECT_EQ(told.body["share"], nullptr);
  EXPECT_THAT(told.body["ask"].value("why", ""), testing::StartsWith("A barrier with a seam or a wrinkle"));
  EXPECT_EQ(told.body["steps"].size(), 2U);
  const nlohmann::json series = office_.get(ana_, "/api/fleet/1").body["series"].at(0);
  EXPECT_EQ(std::ranges::count_if(series["points"], [](const nlohmann::json& one) { return one["counts"] == true; }), 1)
      << "only the first one counts";
}

TEST_F(CheckTest, ASeamBeginsNoBaseline) {
  nlohmann::json seam = check(800);
  seam["barrier_on"] = true;
  seam["barrier_smooth"] = false;
  take(seam);
  seam["barrier_smooth"] = true;
  seam["taken_at"] = base::instant_text(office_.now);
  EXPECT_EQ(take(seam).body["verdict"], "first");
}

TEST_F(CheckTest, AFailureBehindASeamIsConfirmedWithoutIt) {
  verdict(1100);
  wait(hours(24 * 7));
  nlohmann::json seam = check(400);
  seam["barrier_on"] = true;
  seam["barrier_smooth"] = false;
  EXPECT_EQ(take(seam).body["verdict"], "again");
  EXPECT_EQ(verdict(420), "failed");
}

constexpr const char* kDamagedThen = "Its tip was seen damaged on 2026-01-05: replace it, and do not cure with it.";

TEST_F(CheckTest, ADamagedTipComesFirstWhateverTheLightGives) {
  verdict(1000);
  nlohmann::json of_another = check(900);
  office_.records().write({"1", office_.now}, [&](store::Writer& w) {
    fleet::LightEntry light = w.get<fleet::LightEntry>(light_).value().record;
    light.name = "Lamp B";
    const base::LightId another = w.add(light);
    of_another["light"] = another.number;
    of_another["tip"] = w.add(fleet::TipEntry{another, "straight", 8}).number;
  });
  take(of_another);
  const auto page = [&] { return office_.get(ana_, "/api/fleet/1").body; };
  const auto wrong = [&] { return office_.get(ana_, "/api/today").body["wrong"]; };
  EXPECT_EQ(wrong(), nlohmann::json::array());

  nlohmann::json chipped = check(980);
  chipped["tip_whole"] = false;
  Told told = take(chipped);
  EXPECT_EQ(told.body["verdict"], "good") << "by its number";
  EXPECT_EQ(told.body["sentence"],
            "The tip is damaged: do not cure with it. It gives 980 mW/cm2, 98 % of its baseline.");
  EXPECT_EQ(told.body["steps"], nlohmann::json::array({"Replace the tip, and note that on the light's page."}));
  EXPECT_EQ(told.body["state"], "watch");
  EXPECT_EQ(page()["state"], "watch");
  EXPECT_EQ(page()["why"], kDamagedThen);
  ASSERT_EQ(wrong().size(), 1U) << "the other light is none the worse";
  EXPECT_EQ(wrong().at(0)["light"], light_.number);
  EXPECT_EQ(wrong().at(0)["sentence"], kDamagedThen);

  // A check at which nobody looked changes nothing, one that does not count looks all the same.
  told = take(check(990));
  EXPECT_EQ(told.body["sentence"], std::string(kDamagedThen) + " It gives 990 mW/cm2, 99 % of its baseline.");
  EXPECT_EQ(told.body["state"], "watch");
  nlohmann::json whole = check(800);
  whole["purpose"] = "before_cleaning";
  whole["tip_whole"] = true;
  EXPECT_EQ(take(whole).body["state"], "in use");
  EXPECT_EQ(take(check(990)).body["sentence"], "Good: 990 mW/cm2, 99 % of its baseline.");
  whole["tip_whole"] = false;
  whole["taken_at"] = base::instant_text(office_.now);
  EXPECT_EQ(take(whole).body["state"], "watch");
  EXPECT_EQ(wrong().size(), 1U);
}

TEST_F(CheckTest, ATipThatWasReplacedIsNotTheDamagedOne) {
  verdict(1000);
  nlohmann::json chipped = check(980);
  chipped["tip_whole"] = false;
  take(chipped);
  const auto note = [&](const char* what) {
    office_.now += minutes(2);
    const nlohmann::json deed{
        {"light", light_.number}, {"at", base::instant_text(office_.now)}, {"told_by", 2}, {"what", what}};
    EXPECT_EQ(office_.post(ana_, "/api/records/servicing", deed).status, 201);
    return office_.get(ana_, "/api/fleet/1").body["state"];
  };
  EXPECT_EQ(note("cleaned"), "watch");
  EXPECT_EQ(note("tip_replaced"), "in use");
}

TEST_F(CheckTest, BlockedVentsAreWatchedUntilTheyAreSeenClear) {
  verdict(1000);
  nlohmann::json blocked = check(980);
  blocked["vents_clear"] = false;
  EXPECT_EQ(take(blocked).body["sentence"],
            "The vents are blocked: clear them before it is used. It gives 980 mW/cm2, 98 % of its baseline.");
  EXPECT_EQ(office_.get(ana_, "/api/fleet/1").body["why"],
            "Its vents were blocked on 2026-01-05: clear them, and look at them again.");
  nlohmann::json clear = check(990);
  clear["vents_clear"] = true;
  EXPECT_EQ(take(clear).body["sentence"], "Good: 990 mW/cm2, 99 % of its baseline.");
  EXPECT_EQ(office_.get(ana_, "/api/fleet/1").body["state"], "in use");
}

TEST_F(CheckTest, AnotherRadiometerBeginsAnotherBaseline) {
  verdict(1100);
  base::RadiometerId other;
  office_.records().write({"1", office_.now},
                          [&](store::Writer& w) { other = w.add(fleet::RadiometerEntry{"Other", "R-8", 8.0, {}}); });
  nlohmann::json with_other = check(700);
  with_other["radiometer"] = other.number;
  EXPECT_EQ(take(with_other).body["verdict"], "first");
}

/// Weekly readings of a sound light about 1100, with a scatter of 1 %.
constexpr std::array<double, 14> kSound = {1100, 1108, 1092, 1101, 1089, 1106, 1097,
                                           1110, 1094, 1103, 1099, 1091, 1107, 1100};

TEST_F(CheckTest, AnAlarmOfTheChartsIsToldBesideAReadingThatIsGoodByItself) {
  for (const double shown : kSound) {
    const Told told = take(check(shown));
    EXPECT_EQ(told.body["state"], "in use");
    EXPECT_EQ(told.body["watch"], nullptr);
    wait(hours(24 * 7));
  }
  Told told;
  for (int week = 0; week < 4; ++week) {
    told = take(check(1100 * 0.94));
    wait(hours(24 * 7));
  }
  EXPECT_EQ(told.body["verdict"], "good");
  EXPECT_EQ(told.body["ask"], nullptr) << "it was read without a barrier";
  EXPECT_EQ(told.body["state"], "watch");
  EXPECT_THAT(told.body.value("watch", ""), testing::HasSubstr("drifting down since 2026-04"));
  // As everywhere else.
  const nlohmann::json page = office_.get(ana_, "/api/fleet/1").body;
  EXPECT_EQ(page["state"], "watch");
  EXPECT_EQ(page["alarm"], told.body["watch"]);
  EXPECT_EQ(office_.get(ana_, "/api/today").body["wrong"].at(0)["sentence"], told.body["watch"]);
  EXPECT_EQ(office_.get(ana_, "/api/check-sheet").body["lights"].at(0)["state"], "watch");
  // One that is to be taken again says enough.
  const Told low = take(check(700));
  EXPECT_EQ(low.body["verdict"], "again");
  EXPECT_EQ(low.body["watch"], nullptr);
  EXPECT_THAT(low.body["ask"].value("why", ""), testing::HasSubstr("dirty tip"));
}

TEST_F(CheckTest, AnAlarmThatOnlyTheBarrierRaisedAsksForAReadingWithoutIt) {
  base::BarrierId sleeve;
  office_.records().write({"1", office_.now}, [&](store::Writer& w) {
    sleeve = w.add(fleet::BarrierEntry{"Sleeve", 0.93, 0.01, "measured"});
  });
  for (const double shown : kSound) {
    take(check(shown));
    wait(hours(24 * 7));
  }
  Told told;
  for (int week = 0; week < 3; ++week) {
    nlohmann::json covered = check(1100 * 0.93 * 0.92);
    covered["barrier_on"] = true;
    covered["barrier"] = sleeve.number;
    told = take(covered);
    wait(hours(24 * 7));
  }
  EXPECT_EQ(told.body["verdict"], "good");
  EXPECT_EQ(told.body["state"], "watch");
  EXPECT_THAT(told.body.value("watch", ""), testing::Not(testing::IsEmpty()));
  ASSERT_TRUE(told.body["ask"].is_object());
  EXPECT_THAT(told.body["ask"].value("why", ""), testing::StartsWith("Take one more reading without the barrier: "));
  EXPECT_EQ(told.body["ask"]["barrier_on"], false);
  const Told bare = take(check(1098));
  EXPECT_EQ(bare.body["ask"], nullptr) << "it was taken";
}

TEST_F(CheckTest, WhatIsSentLaterKeepsItsTimeAndWhoTookIt) {
  verdict(1100);
  const nlohmann::json queued = check(1090);
  const base::Instant taken = office_.now;
  const service::Header key{"idempotency-key", "0123456789abcdef"};
  const service::Header ticket{"x-throughcure-ticket", ana_.ticket};
  office_.now += hours(20);
  EXPECT_EQ(office_.post(ana_, "/api/checks", queued, {key}).status, 401) << "her session is over";
  const Browser vera = office_.join(
      Office::signed_in(office_.post({}, "/api/door/sign-in",
                                     {{"sign_in_name", "marta"}, {"password", Office::kPassword}, {"shared", false}})),
      "vera", "assistant");
  const Told sent = office_.post(vera, "/api/checks", queued, {key, ticket});
  ASSERT_EQ(sent.status, 201) << sent.body.dump();
  const auto reading = kept<fleet::ReadingEntry>({sent.body["reading"].get<std::int64_t>()});
  EXPECT_EQ(reading.taken_at, taken);
  EXPECT_EQ(reading.arrived_at, office_.now);
  EXPECT_EQ(reading.taken_by.number, 2) << "Ana took it";
  EXPECT_EQ(office_.post(vera, "/api/checks", queued, {key, ticket}).body, sent.body);
  EXPECT_EQ(office_.post(lead_, "/api/session", {}).status, 401);
  const service::Header forged{"x-throughcure-ticket", "1" + ana_.ticket.substr(1)};
  EXPECT_EQ(office_.post(vera, "/api/checks", queued, {forged}).status, 403);
  office_.records().read(
      [&](const store::Reader& r) { EXPECT_EQ(r.list<fleet::ReadingEntry>().size(), 2U) << "never twice"; });
}

TEST_F(CheckTest, NonsenseChangesNothing) {
  nlohmann::json wrong = check(-5);
  wrong["tip"] = 99;
  wrong["taken_at"] = base::instant_text(office_.now + hours(48));
  EXPECT_EQ(take(wrong).status, 422);
  wrong = check(1000);
  wrong["taken_by"] = 1;
  wrong["arrived_at"] = "2020-01-01T00:00:00Z";
  const Told told = take(wrong);
  ASSERT_EQ(told.status, 201) << "who and when are the program's to say";
  const auto reading = kept<fleet::ReadingEntry>({told.body["reading"].get<std::int64_t>()});
  EXPECT_EQ(reading.taken_by.number, 2);
  EXPECT_EQ(reading.arrived_at, office_.now);
  EXPECT_EQ(office_.ask(ana_, Method::post, "/api/checks", "[]").status, 422);
  EXPECT_EQ(office_.ask(ana_, Method::post, "/api/checks", "").status, 422);
}

constexpr const char* kLimitsAsDelivered =
    "lower_limit_mw_cm2 500, upper_caution_mw_cm2 2000, alert_share 0.9, action_share 0.8, confirm_within_hours 24, "
    "full_battery_share 0.8";

TEST_F(CheckTest, WhatWasToldIsOnRecordAndInTheLog) {
  verdict(1100);
  nlohmann::json low = check(970);
  low["told"] = "good";
  low["told_share"] = 1;
  const Told told = take(low);
  ASSERT_EQ(told.body["verdict"], "look");
  const base::ReadingId id{told.body["reading"].get<std::int64_t>()};
  const auto reading = kept<fleet::ReadingEntry>(id);
  EXPECT_EQ(reading.told, fleet::CheckVerdict::kLow) << "whatever the phone says of it";
  EXPECT_EQ(reading.told_share, told.body["share"].get<double>());
  EXPECT_EQ(reading.told_baseline_mw_cm2, 1100);
  EXPECT_EQ(reading.told_limits, kLimitsAsDelivered);
  office_.records().read([&](const store::Reader& r) {
    const auto change = static_cast<std::uint64_t>(r.get<fleet::ReadingEntry>(id)->change);
    EXPECT_THAT(r.changes(change, 1).at(0).after,
                testing::IsSupersetOf({practice::Field{"told", "low"}, practice::Field{"told_baseline_mw_cm2", "1100"},
                                       practice::Field{"told_limits", kLimitsAsDelivered}}));
    EXPECT_EQ(r.edge().size(), change) << "in one change with the reading";
  });
  nlohmann::json dirty = check(500);
  dirty["tip_clean"] = false;
  const auto uncounted = kept<fleet::ReadingEntry>({take(dirty).body["reading"].get<std::int64_t>()});
  EXPECT_EQ(uncounted.told, fleet::CheckVerdict::kAgain);
  EXPECT_EQ(uncounted.told_share, std::nullopt);
  EXPECT_EQ(uncounted.told_limits, std::nullopt) << "it was judged by none";
}

TEST_F(CheckTest, WhatWasToldStaysWhateverIsCorrectedAndChosenLater) {
  verdict(1100);
  ASSERT_EQ(verdict(1050), "good");
  const base::ReadingId id{2};
  const std::string at = "/api/records/reading/2";
  nlohmann::json record = office_.get(lead_, at).body["record"];
  record["shown_mw_cm2"] = 800;
  ASSERT_EQ(office_.put(lead_, at + "?revision=1", record).status, 200);
  const auto corrected = kept<fleet::ReadingEntry>(id);
  EXPECT_EQ(corrected.shown_mw_cm2, 800);
  EXPECT_EQ(corrected.told, fleet::CheckVerdict::kGood);
  EXPECT_EQ(corrected.told_share, 1050.0 / 1100);
  for (const char* field : {"told", "told_share", "told_baseline_mw_cm2", "told_limits"}) {
    nlohmann::json other = record;
    other.erase(field);
    const Told refused = office_.put(lead_, at + "?revision=2", other);
    EXPECT_EQ(refused.status, 422) << field;
    EXPECT_EQ(refused.body["problems"].at(0)["field"], field);
  }
  const Told page = office_.get(lead_, "/api/fleet/1");
  const nlohmann::json point = page.body["series"].at(0)["points"].at(1);
  EXPECT_EQ(point["told"]["verdict"], "good");
  EXPECT_EQ(point["shown_mw_cm2"], 800);
}

TEST_F(CheckTest, TheSheetTellsThePhoneWhatItNeeds) {
  verdict(1100);
  wait(hours(24 * 8));
  const Told told = office_.get(ana_, "/api/check-sheet");
  ASSERT_EQ(told.status, 200);
  const nlohmann::json light = told.body["lights"].at(0);
  EXPECT_EQ(light["state"], "in use");
  EXPECT_EQ(light["mode"], "standard");
  EXPECT_EQ(light["battery"], true);
  EXPECT_EQ(light["tips"].at(0)["diameter_mm"], 8);
  EXPECT_EQ(light["last"]["share"], 1);
  EXPECT_EQ(light["overdue"], true);
  EXPECT_EQ(told.body["rooms"].at(0)["radiometer"], radiometer_.number);
  EXPECT_EQ(told.body["limits"]["lower_mw_cm2"], 500);
}

TEST_F(CheckTest, TheSheetTellsWhereALightIsThatWasLent) {
  const auto add_room = [&](std::int64_t site) {
    base::RoomId room;
    office_.records().write({"1", office_.now}, [&](store::Writer& w) {
      room = w.add(practice::Room{.site = {site}, .name = "Room", .radiometer = {}, .check_every_days = {}});
    });
    return room;
  };
  const auto move = [&](fleet::Deed what, std::optional<base::RoomId> room) {
    office_.now += minutes(2);
    office_.records().write({"1", office_.now}, [&](store::Writer& w) {
      w.add(fleet::ServicingEntry{
          .light = light_, .at = office_.now, .told_by = {1}, .what = what, .room = room, .note = {}});
    });
    return office_.get(ana_, "/api/check-sheet").body["lights"].at(0)["room"];
  };
  const base::RoomId other = add_room(1);
  EXPECT_EQ(move(fleet::Deed::kCleaned, {}), room_.number);
  EXPECT_EQ(move(fleet::Deed::kLent, other), other.number);
  EXPECT_EQ(move(fleet::Deed::kReturned, {}), room_.number);
  std::int64_t site = 0;
  office_.records().write({"1", office_.now},
                          [&](store::Writer& w) { site = w.add(practice::Site{"Mill lane", "Europe/Lisbon"}).number; });
  EXPECT_EQ(move(fleet::Deed::kLent, add_room(site)), room_.number) << "a room that she does not see";
}

TEST_F(CheckTest, ANewCertificateVouchesForItsRadiometerThroughItsLastDay) {
  const auto radiometer = [&] { return office_.get(ana_, "/api/check-sheet").body["radiometers"].at(0); };
  const auto write = [&](auto record) {
    office_.records().write({"1", office_.now}, [&](store::Writer& w) { w.add(record); });
  };
  EXPECT_EQ(radiometer()["certificate_until"], nullptr);
  EXPECT_EQ(radiometer()["expired"], false) << "what was never certified has not run out";
  write(fleet::CertificateEntry{
      radiometer_, "C-1", "a laboratory", office_.now - hours(24 * 300), office_.now - hours(24), {}});
  EXPECT_EQ(radiometer()["expired"], true);
  write(fleet::CertificateEntry{radiometer_, "C-2", "a laboratory", office_.now, office_.now + hours(24), {}});
  EXPECT_EQ(radiometer()["expired"], false);
  wait(hours(35));  // eleven hours after the noon that stands for its last day
  EXPECT_EQ(radiometer()["expired"], false);
  wait(hours(1));
  EXPECT_EQ(radiometer()["expired"], true);
}

}  // namespace
}  // namespace throughcure::tests
