// What the store owes, whatever the database. No outside source: this is our own contract, but for the log's tree,
// whose root is computed again from the leaves by RFC 6962's definition (practice/merkle.hpp, tested with its vectors).
#include "throughcure/store/store.hpp"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <limits>
#include <string>
#include <thread>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "contract/places.hpp"
#include "contract/practice.hpp"
#include "throughcure/base/hex.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/store/all_kinds.hpp"
#include "throughcure/store/migrations.hpp"
#include "throughcure/store/session.hpp"

namespace throughcure::tests {
namespace {

using base::ValueType;
using testing::HasSubstr;
using testing::Not;

class StoreContract : public EveryDatabase {
 protected:
  store::Store records_{place()};
};

std::uint64_t log_size(store::Store& records) {
  std::uint64_t size = 0;
  records.read([&](const store::Reader& r) { size = r.edge().size(); });
  return size;
}

/// The log hangs together: numbers without gaps, leaves that are those of the changes, the root that follows from them.
void expect_sound_log(store::Store& records) {
  records.read([](const store::Reader& r) {
    const practice::RightEdge edge = r.edge();
    const std::vector<practice::Change> changes = r.changes(1, 1'000'000);
    const std::vector<practice::Digest> leaves = r.leaves(1, 1'000'000);
    ASSERT_EQ(changes.size(), edge.size());
    ASSERT_EQ(leaves.size(), edge.size());
    for (std::size_t i = 0; i < changes.size(); ++i) {
      ASSERT_EQ(changes[i].number, i + 1);
      ASSERT_EQ(practice::leaf_hash(practice::leaf_bytes(changes[i])), leaves[i]);
    }
    EXPECT_EQ(practice::merkle_root(leaves), edge.root());
  });
}

template <class Record>
void expect_comes_back(store::Store& records, const Record& record) {
  base::Id<typename Record::Kind> id;
  records.write(program(), [&](store::Writer& w) { id = w.add(record); });
  records.read([&](const store::Reader& r) {
    const auto kept = r.get<Record>(id);
    ASSERT_TRUE(kept.has_value());
    EXPECT_EQ(kept->record, record);
    EXPECT_EQ(kept->revision, 1);
    EXPECT_EQ(kept->id, id);
  });
}

template <class Record>
void expect_same_columns(store::Session& session, const store::Place& place) {
  std::vector<std::string> described = {"id", "revision", "newest", "change"};
  for (const base::Column& column : base::columns_of<Record>()) described.emplace_back(column.name);
  const std::string kind(base::kind_of<Record>());
  const std::string sql =
      std::holds_alternative<store::InFile>(place)
          ? "SELECT name FROM pragma_table_info(:v0) ORDER BY cid"
          : "SELECT column_name::text FROM information_schema.columns WHERE table_schema = current_schema() AND "
            "table_name = :v0 ORDER BY ordinal_position";
  std::vector<std::string> there;
  for (const store::Values& row : session.ask(sql, {kind}, {ValueType::kText})) {
    there.push_back(std::get<std::string>(row[0]));
  }
  EXPECT_EQ(there, described) << kind;
}

TEST_P(StoreContract, StartsEmptyWithTheNewestTables) {
  EXPECT_EQ(records_.version(), static_cast<int>(store::migrations().size()));
  EXPECT_EQ(log_size(records_), 0U);
  records_.read([](const store::Reader& r) {
    EXPECT_EQ(r.edge().root(), practice::merkle_root({}));
    EXPECT_TRUE(r.list<practice::Site>().empty());
    EXPECT_FALSE(r.get<practice::Site>({1}).has_value());
  });
}

TEST_P(StoreContract, GivesEveryKindBackAsItWas) {
  const Practice p = open_practice(records_);
  expect_comes_back(records_, practice::Site{"", "Asia/Kolkata"});
  expect_comes_back(records_, practice::Room{p.site, std::string("'; DROP TABLE room; --")});
  expect_comes_back(records_, practice::Person{"\u6b6f\u79d1 \U0001F9B7", practice::Role::kLead, p.site, false, true});
  expect_comes_back(records_, practice::Setting{"lower_limit_mw_cm2", 500, "common practice, no source", ""});
  expect_comes_back(records_, fleet::LightEntry{.room = p.room,
                                                .name = "Lamp B",
                                                .serial = "\\\"'",
                                                .claimed_mw_cm2 = 1200.5,
                                                .approval_number = "80151710999",
                                                .approved_by = "an agency",
                                                .bought_in = "here",
                                                .warranty_until = base::Instant{-1},
                                                .accepted_at = {},
                                                .withdrawn_at = base::kLatestInstant,
                                                .emits_violet = false,
                                                .claim_measured = true});
  expect_comes_back(records_, fleet::TipEntry{p.light, "turbo", std::nextafter(8.0, 9.0)});
  expect_comes_back(records_, fleet::RadiometerEntry{"m", "s", {}, {}});
  fleet::ReadingEntry reading = reading_of(p, std::numeric_limits<double>::min());
  reading.battery = 1.0 / 3;
  reading.note = std::string();
  expect_comes_back(records_, reading);
  practice::Restoration made = restoration_of(p, "12-345");
  expect_comes_back(records_, made);
  made.room = p.room;
  expect_comes_back(records_, made);
  reading.purpose = fleet::Purpose::kAfterCleaning;
  reading.tip_whole = false;
  reading.vents_clear = true;
  expect_comes_back(records_, reading);
  reading.told = fleet::CheckVerdict::kHigh;
  reading.told_share = 2.0 / 3;
  reading.told_baseline_mw_cm2 = std::nextafter(1000.0, 1001.0);
  reading.told_limits = "lower_limit_mw_cm2 500";
  expect_comes_back(records_, reading);
  const practice::MaterialEntry material{"universal paste", "A3", 20.0, 2.0, "materials/universal-a3.toml"};
  expect_comes_back(records_, material);
  const fleet::BarrierEntry sleeve{"sleeve", 0.93, 0.01, "measured here"};
  expect_comes_back(records_, sleeve);
  records_.write(program(), [&](store::Writer& w) {
    const base::MaterialId paste = w.add(material);
    const base::LotId lot = w.add(practice::Lot{paste, "7", kMonday});
    const base::ReadingId failed = w.add(reading);
    const base::LookBackId look_back =
        w.add(practice::LookBack{p.light, practice::Because::kFailedCheck, failed, {}, kMonday, kMonday, p.person});
    const base::RestorationId restoration = w.add(restoration_of(p, "1"));
    const std::vector<std::int64_t> first = {
        w.add(practice::Account{p.person, "ana", kMonday, {}}).number,
        w.attach(
             {.belongs_to = "light", .record = p.light.number, .about = "approval", .name = "scan.pdf", .sha256 = {}},
             "%PDF-1.7")
            .number,
        w.add(practice::ScrapeTest{paste, lot, p.light, kMonday, p.person, 20, 5.2}).number,
        w.add(practice::DiscTest{paste, {}, p.light, p.radiometer, kMonday, p.person, 2, 210, 1000}).number,
        w.add(practice::Decision{look_back, restoration, practice::Followup::kRecall, "soft", 0.7, "0.1", p.person,
                                 kMonday})
            .number,
        w.add(fleet::CertificateEntry{p.radiometer, "C-1", "a laboratory", kMonday, kMonday, 0.05}).number,
        w.add(fleet::ServicingEntry{p.light, kMonday, p.person, fleet::Deed::kLent, p.room, "for a day"}).number};
    EXPECT_THAT(first, testing::Each(1));
  });
  records_.read([&](const store::Reader& r) {
    EXPECT_EQ(r.get<practice::Account>({1})->record.sign_in_name, "ana");
    EXPECT_EQ(r.get<practice::Attachment>({1})->record.media, practice::MediaType::kPdf);
    EXPECT_EQ(r.get<practice::ScrapeTest>({1})->record.mould_diameter_mm, 4);
    EXPECT_EQ(r.get<practice::Decision>({1})->record.what, practice::Followup::kRecall);
    EXPECT_EQ(r.get<fleet::ServicingEntry>({1})->record.what, fleet::Deed::kLent);
  });
}

TEST_P(StoreContract, SecretsAreOverwrittenAndNeverLogged) {
  records_.write(program(), [](store::Writer& w) { w.keep_secret("password/1", "old"); });
  records_.write(program(), [](store::Writer& w) { w.keep_secret("password/1", "new"); });
  records_.read([](const store::Reader& r) {
    EXPECT_EQ(r.secret("password/1"), "new");
    EXPECT_EQ(r.secret("password/2"), std::nullopt);
  });
  EXPECT_EQ(log_size(records_), 0U);
  records_.write(program(), [](store::Writer& w) { w.forget_secret("password/1"); });
  records_.read([](const store::Reader& r) { EXPECT_EQ(r.secret("password/1"), std::nullopt); });
}

TEST_P(StoreContract, SignInsAreKeptUntilTheyEnd) {
  const auto names = [&] {
    std::vector<std::string> found;
    records_.read([&](const store::Reader& r) {
      for (const store::SignIn& one : r.sign_ins()) found.push_back(one.fingerprint);
    });
    return found;
  };
  records_.write(program(), [](store::Writer& w) {
    w.keep_sign_in({.fingerprint = "a", .account = {1}, .page_token = "t", .ends = {10}});
    w.keep_sign_in(
        {.fingerprint = "b", .account = {2}, .page_token = "u", .rests_on = base::AccountId{1}, .ends = {20}});
    w.keep_sign_in({.fingerprint = "c", .account = {1}, .page_token = "v", .shared = true, .ends = {30}});
    w.keep_sign_in({.fingerprint = "c", .account = {1}, .page_token = "w", .shared = true, .ends = {31}});
  });
  EXPECT_THAT(names(), testing::ElementsAre("a", "b", "c"));
  records_.read([](const store::Reader& r) {
    const store::SignIn b = r.sign_ins().at(1);
    EXPECT_EQ(b.rests_on, base::AccountId{1});
    EXPECT_EQ(r.sign_ins().at(0).rests_on, std::nullopt);
    EXPECT_FALSE(b.shared);
    EXPECT_EQ(b.account.number, 2);
    EXPECT_EQ(r.sign_ins().at(2).page_token, "w");
  });
  records_.write(program(), [](store::Writer& w) { w.end_sign_ins_before({10}); });
  EXPECT_THAT(names(), testing::ElementsAre("b", "c"));
  records_.write(program(), [](store::Writer& w) {
    w.keep_sign_in(
        {.fingerprint = "d", .account = {2}, .page_token = "x", .rests_on = base::AccountId{4}, .ends = {40}});
  });
  records_.write(program(), [](store::Writer& w) { w.end_sign_ins_of({1}); });
  EXPECT_THAT(names(), testing::ElementsAre("d")) << "by PIN, one that rests on the account goes with it";
  records_.write(program(), [](store::Writer& w) { w.end_sign_in("d"); });
  EXPECT_THAT(names(), testing::IsEmpty());
}

/// Records as the first version kept them, written as it wrote them.
TEST_P(StoreContract, RecordsOfTheFirstVersionAreBroughtForward) {
  const std::unique_ptr<Ground> old = ground_called(GetParam());
  {
    store::Session session(old->place());
    store::migrate(session, 1);
    session.run("INSERT INTO site VALUES (1, 1, 1, 1, 'Harbour street', 'Europe/Lisbon')");
    session.run("INSERT INTO room VALUES (1, 1, 1, 2, 1, 'Room 2')");
    session.run("INSERT INTO person VALUES (1, 1, 1, 3, 'Ana', 'lead', 1, 1)");
    session.run("INSERT INTO light VALUES (1, 1, 1, 4, 1, 'Lamp A', '42', 1000, NULL, NULL, NULL, NULL, 5, NULL)");
    session.run("INSERT INTO tip VALUES (1, 1, 1, 5, 1, '8 mm', 8)");
    session.run("INSERT INTO radiometer VALUES (1, 1, 1, 6, 'meter', 'R', NULL, NULL)");
    session.run(
        "INSERT INTO reading VALUES (1, 1, 1, 7, 1, 1, 1, 1, 1, 5, 6, 'standard', 950, NULL, 0, 1, NULL, NULL)");
  }
  store::Store records(old->place());
  EXPECT_EQ(records.version(), static_cast<int>(store::migrations().size()));
  records.read([](const store::Reader& r) {
    EXPECT_EQ(r.get<practice::Room>({1})->record, (practice::Room{{1}, "Room 2", {}, {}}));
    EXPECT_EQ(r.get<practice::Person>({1})->record, (practice::Person{"Ana", practice::Role::kLead, {1}, true, false}));
    EXPECT_EQ(r.get<fleet::ReadingEntry>({1})->record.purpose, fleet::Purpose::kCheck);
    EXPECT_EQ(r.get<fleet::ReadingEntry>({1})->record.vents_clear, std::nullopt);
    EXPECT_EQ(r.get<fleet::LightEntry>({1})->record.file, std::nullopt);
  });
  store::Session session(old->place());
  store::AllKinds::each(
      [&]<class Record>(std::type_identity<Record>) { expect_same_columns<Record>(session, old->place()); });
}

/// Of the second version: it had attached files, and no files of cases.
TEST_P(StoreContract, RecordsOfTheSecondVersionAreBroughtForward) {
  const std::unique_ptr<Ground> old = ground_called(GetParam());
  {
    store::Session session(old->place());
    store::migrate(session, 2);
    session.run("INSERT INTO site VALUES (1, 1, 1, 1, 'Harbour street', 'Europe/Lisbon')");
    session.run("INSERT INTO lookback VALUES (1, 1, 1, 2, 1, 'withdrawn', NULL, NULL, 5, 6, 1, NULL, NULL, NULL)");
  }
  store::Store records(old->place());
  EXPECT_EQ(records.version(), static_cast<int>(store::migrations().size()));
  records.read([](const store::Reader& r) {
    EXPECT_EQ(r.get<practice::LookBack>({1})->record.until.us, 5);
    EXPECT_TRUE(r.list<practice::KeptFile>().empty());
    EXPECT_TRUE(r.list<practice::Recomputed>().empty());
  });
  store::Session session(old->place());
  store::AllKinds::each(
      [&]<class Record>(std::type_identity<Record>) { expect_same_columns<Record>(session, old->place()); });
}

/// Of the third and the fourth version: their readings do not say what was told of them.
TEST_P(StoreContract, ReadingsOfTheThirdAndFourthVersionAreBroughtForward) {
  for (const int version : {3, 4}) {
    const std::unique_ptr<Ground> old = ground_called(GetParam());
    {
      store::Session session(old->place());
      store::migrate(session, version);
      session.run(
          "INSERT INTO reading VALUES (1, 1, 1, 1, 1, 1, 1, 1, 1, 5, 6, 'standard', 950, NULL, 1, 1, 0.5, 'a note', "
          "'acceptance', 1, 1, NULL, 0, 1)");
      session.run(
          "INSERT INTO restoration VALUES (1, 1, 1, 2, '12-345', '36', 'DO', 7, 1, 1, 1, 'paste', '', NULL, NULL, "
          "NULL, NULL, NULL, NULL)");
    }
    store::Store records(old->place());
    EXPECT_EQ(records.version(), static_cast<int>(store::migrations().size()));
    records.read([](const store::Reader& r) {
      const fleet::ReadingEntry reading = r.get<fleet::ReadingEntry>({1})->record;
      EXPECT_EQ(reading.shown_mw_cm2, 950);
      EXPECT_EQ(reading.purpose, fleet::Purpose::kAcceptance);
      EXPECT_EQ(reading.vents_clear, false);
      EXPECT_EQ(reading.told, std::nullopt);
      EXPECT_EQ(reading.told_share, std::nullopt);
      EXPECT_EQ(reading.told_baseline_mw_cm2, std::nullopt);
      EXPECT_EQ(reading.told_limits, std::nullopt);
      EXPECT_EQ(r.get<practice::Restoration>({1})->record.chart, "12-345");
    });
    store::Session session(old->place());
    store::AllKinds::each(
        [&]<class Record>(std::type_identity<Record>) { expect_same_columns<Record>(session, old->place()); });
  }
}

/// Of the fifth version: whether a light emits violet was not asked.
TEST_P(StoreContract, LightsOfTheFifthVersionAreBroughtForward) {
  const std::unique_ptr<Ground> old = ground_called(GetParam());
  {
    store::Session session(old->place());
    store::migrate(session, 5);
    session.run(
        "INSERT INTO light VALUES (1, 1, 1, 1, 1, 'Lamp A', '42', 1000, '7', 'an agency', 'here', 8, 5, NULL, NULL, "
        "'standard', 'lithium-ion', 'a-file')");
  }
  store::Store records(old->place());
  EXPECT_EQ(records.version(), static_cast<int>(store::migrations().size()));
  records.read([](const store::Reader& r) {
    const fleet::LightEntry light = r.get<fleet::LightEntry>({1})->record;
    EXPECT_EQ(light.emits_violet, std::nullopt);
    EXPECT_EQ(light.file, "a-file");
    EXPECT_EQ(light.battery, "lithium-ion");
  });
  store::Session session(old->place());
  store::AllKinds::each(
      [&]<class Record>(std::type_identity<Record>) { expect_same_columns<Record>(session, old->place()); });
}

/// Of the sixth version: where a restoration was made was not kept, nor who says what a light gives.
TEST_P(StoreContract, RestorationsAndLightsOfTheSixthVersionAreBroughtForward) {
  const std::unique_ptr<Ground> old = ground_called(GetParam());
  {
    store::Session session(old->place());
    store::migrate(session, 6);
    session.run(
        "INSERT INTO light VALUES (1, 1, 1, 1, 1, 'Lamp A', '42', 1000, '7', 'an agency', 'here', 8, 5, NULL, NULL, "
        "'standard', 'lithium-ion', 'a-file', 1)");
    session.run(
        "INSERT INTO restoration VALUES (1, 1, 1, 2, '12-345', '36', 'DO', 7, 1, 1, 1, 'paste', '', 0.9, NULL, NULL, "
        "NULL, NULL, 'a note')");
  }
  store::Store records(old->place());
  EXPECT_EQ(records.version(), static_cast<int>(store::migrations().size()));
  records.read([](const store::Reader& r) {
    const fleet::LightEntry light = r.get<fleet::LightEntry>({1})->record;
    EXPECT_EQ(light.claim_measured, std::nullopt);
    EXPECT_EQ(light.emits_violet, true);
    const practice::Restoration made = r.get<practice::Restoration>({1})->record;
    EXPECT_EQ(made.room, std::nullopt);
    EXPECT_EQ(made.chart, "12-345");
    EXPECT_EQ(made.note, "a note");
  });
  store::Session session(old->place());
  store::AllKinds::each(
      [&]<class Record>(std::type_identity<Record>) { expect_same_columns<Record>(session, old->place()); });
}

TEST_P(StoreContract, TheLeastOfAColumnIsAmongThoseThatTheQueryFits) {
  const Practice p = open_practice(records_);
  records_.write(program(), [&](store::Writer& w) {
    const base::RoomId second = w.add(practice::Room{p.site, "Room 3"});
    practice::Restoration made = restoration_of(p, "1");
    w.add(made);
    made.room = second;
    w.add(made);
    w.add(made);
    made.room = p.room;
    w.correct(w.add(made), 1, restoration_of(p, "2"));
    const auto least = [&](std::int64_t above) {
      return w.least(
          store::table_of<practice::Restoration>(), "room",
          {.where = {{"light", store::Compare::kEqual, p.light.number}, {"room", store::Compare::kAbove, above}},
           .order_by = {}});
    };
    EXPECT_EQ(least(0), second.number) << "the other room stands in an older revision only";
    EXPECT_EQ(least(second.number), std::nullopt);
  });
  records_.read([&](const store::Reader& r) {
    EXPECT_EQ(r.least(store::table_of<practice::Restoration>(), "room", {.where = {}, .order_by = {}}), 2);
    EXPECT_THROW((void)r.least(store::table_of<practice::Restoration>(), "site", {.where = {}, .order_by = {}}),
                 base::Failure);
  });
}

TEST_P(StoreContract, ACorrectionAddsARevisionAndKeepsTheOldOne) {
  const Practice p = open_practice(records_);
  base::ReadingId id;
  records_.write(program(), [&](store::Writer& w) { id = w.add(reading_of(p, 950)); });
  records_.write(program(1), [&](store::Writer& w) { w.correct(id, 1, reading_of(p, 590)); });
  records_.read([&](const store::Reader& r) {
    EXPECT_EQ(r.get<fleet::ReadingEntry>(id)->record.shown_mw_cm2, 590);
    const auto history = r.history<fleet::ReadingEntry>(id);
    ASSERT_EQ(history.size(), 2U);
    EXPECT_EQ(history[0].record.shown_mw_cm2, 950);
    EXPECT_EQ(history[1].revision, 2);
    EXPECT_EQ(r.list<fleet::ReadingEntry>().size(), 1U) << "a list is of the newest revisions";
    const practice::Change change = r.changes(static_cast<std::uint64_t>(history[1].change), 1).at(0);
    EXPECT_EQ(change.before, (practice::Fields{{"shown_mw_cm2", "950"}}));
    EXPECT_EQ(change.after, (practice::Fields{{"shown_mw_cm2", "590"}}));
    EXPECT_EQ(change.record, std::to_string(id.number));
    EXPECT_EQ(change.at.us, kMonday.us + 1);
  });
  expect_sound_log(records_);
}

TEST_P(StoreContract, RestorationsAreFoundByTheirChartNumberAsItStandsNow) {
  const Practice p = open_practice(records_);
  const auto placed = [&](const std::string& chart, std::int64_t us_later) {
    practice::Restoration made = restoration_of(p, chart);
    made.placed_at = {kMonday.us + us_later};
    return made;
  };
  records_.write(program(), [&](store::Writer& w) {
    w.add(placed("12-345", 0));
    w.add(placed("12-3456", 1));
    w.add(placed("12-345", 2));
    w.add(placed("12-34", 3));
    w.correct(w.add(placed("12-345", 4)), 1, placed("99", 4));
  });
  const auto found = [&](const std::string& chart, std::int64_t from) {
    std::vector<std::int64_t> ids;
    records_.read([&](const store::Reader& r) {
      r.pick(store::table_of<practice::Restoration>(), {{"id"}},
             {.where = {{"chart", store::Compare::kEqual, chart}, {"placed_at", store::Compare::kAtLeast, from}},
              .order_by = "placed_at",
              .descending = true},
             [&](const std::vector<base::Value>& row) { ids.push_back(std::get<std::int64_t>(row[0])); });
    });
    return ids;
  };
  EXPECT_THAT(found("12-345", 0), testing::ElementsAre(3, 1));
  EXPECT_THAT(found("12-345", kMonday.us + 1), testing::ElementsAre(3));
  EXPECT_THAT(found("99", 0), testing::ElementsAre(5));
  EXPECT_THAT(found("12-3", 0), testing::IsEmpty());
}

/// What is asked for may be private, and what went wrong is written down.
TEST_P(StoreContract, AFailureDoesNotRepeatWhatWasAskedFor) {
  store::Session(place()).run("DROP TABLE restoration");
  try {
    records_.read([](const store::Reader& r) {
      (void)r.list<practice::Restoration>(
          {.where = {{"chart", store::Compare::kEqual, std::string("12-345")}}, .order_by = {}});
    });
    FAIL() << "there is no such table";
  } catch (const base::Failure& failure) {
    EXPECT_THAT(failure.what(), HasSubstr("restoration"));
    EXPECT_THAT(failure.what(), Not(HasSubstr("12-345")));
  }
}

TEST_P(StoreContract, ACorrectionThatChangesNothingLeavesNoTrace) {
  const Practice p = open_practice(records_);
  const std::uint64_t before = log_size(records_);
  records_.write(program(), [&](store::Writer& w) { w.correct(p.tip, 1, fleet::TipEntry{p.light, "8 mm", 8}); });
  EXPECT_EQ(log_size(records_), before);
  records_.read([&](const store::Reader& r) { EXPECT_EQ(r.get<fleet::TipEntry>(p.tip)->revision, 1); });
}

TEST_P(StoreContract, WhoReadAnOlderRevisionIsToldSo) {
  const Practice p = open_practice(records_);
  const auto rename = [&](std::int64_t read, const std::string& name) {
    records_.write(program(), [&](store::Writer& w) { w.correct(p.room, read, practice::Room{p.site, name}); });
  };
  rename(1, "Room 2, upstairs");
  EXPECT_THROW(rename(1, "Room 3"), store::Conflict);
  records_.read(
      [&](const store::Reader& r) { EXPECT_EQ(r.get<practice::Room>(p.room)->record.name, "Room 2, upstairs"); });
}

TEST_P(StoreContract, WhatRefersToNothingIsRefusedAndNothingIsWritten) {
  const Practice p = open_practice(records_);
  const std::uint64_t before = log_size(records_);
  fleet::ReadingEntry lost = reading_of(p, 900);
  lost.light = {77};
  lost.radiometer = {78};
  try {
    records_.write(program(), [&](store::Writer& w) {
      w.add(practice::Room{p.site, "a room of the same transaction"});
      w.add(lost);
    });
    FAIL() << "a reading of no light was taken";
  } catch (const base::InputError& e) {
    ASSERT_EQ(e.problems().size(), 2U) << "all at once";
    EXPECT_EQ(e.problems()[0].field, "light");
    EXPECT_THAT(e.problems()[0].what, HasSubstr("77"));
  }
  EXPECT_EQ(log_size(records_), before);
  records_.read([](const store::Reader& r) { EXPECT_EQ(r.list<practice::Room>().size(), 1U); });
  expect_sound_log(records_);
}

TEST_P(StoreContract, AnExceptionTakesEverythingBack) {
  const Practice p = open_practice(records_);
  const std::uint64_t before = log_size(records_);
  EXPECT_THROW(records_.write(program(),
                              [&](store::Writer& w) {
                                w.add(reading_of(p, 900));
                                w.answer("key", practice::sha256({"request"}), "reply");
                                throw std::runtime_error("the service thought better of it");
                              }),
               std::runtime_error);
  EXPECT_EQ(log_size(records_), before);
  records_.read([](const store::Reader& r) { EXPECT_TRUE(r.list<fleet::ReadingEntry>().empty()); });
  records_.write(program(), [&](store::Writer& w) {
    EXPECT_FALSE(w.answered("key", practice::sha256({"request"})).has_value());
    w.add(reading_of(p, 901));
  });
  expect_sound_log(records_);
}

TEST_P(StoreContract, TheLogHoldsEveryChangeAndNothingPrivate) {
  const Practice p = open_practice(records_);
  base::RestorationId id;
  records_.write(program(), [&](store::Writer& w) { id = w.add(restoration_of(p, "chart 4711")); });
  records_.write(program(), [&](store::Writer& w) {
    const practice::Restoration corrected = restoration_of(p, "chart 4712");
    w.correct(id, 1, corrected);
  });
  expect_sound_log(records_);
  records_.read([&](const store::Reader& r) {
    const std::vector<practice::Change> changes = r.changes(1, 100);
    std::string all;
    for (const practice::Change& change : changes) all += practice::leaf_bytes(change);
    for (const char* secret : {"4711", "4712", "Ana", "deep box"}) EXPECT_THAT(all, Not(HasSubstr(secret)));
    const practice::Change& last = changes.back();
    ASSERT_EQ(last.after.size(), 1U);
    EXPECT_EQ(last.after[0].name, "chart");
    const auto salt = r.salt(last.number, true, "chart");
    ASSERT_TRUE(salt.has_value());
    const auto& commitment = std::get<practice::Commitment>(last.after[0].value);
    EXPECT_TRUE(practice::opens(commitment, {*salt, "chart 4712"}));
    EXPECT_FALSE(practice::opens(commitment, {*salt, "chart 4711"}));
    EXPECT_TRUE(practice::opens(std::get<practice::Commitment>(last.before[0].value),
                                {*r.salt(last.number, false, "chart"), "chart 4711"}));
    EXPECT_FALSE(r.salt(last.number, true, "tooth").has_value());
  });
}

TEST_P(StoreContract, TheSameKeyGetsTheSameAnswerAndNoOtherRequest) {
  const Practice p = open_practice(records_);
  const practice::Digest request = practice::sha256({"POST reading 900"});
  const auto post = [&](const store::Author& author, const practice::Digest& asked) {
    std::string reply;
    records_.write(author, [&](store::Writer& w) {
      if (const auto before = w.answered("phone-1", asked)) {
        reply = *before;
        return;
      }
      reply = "reading " + std::to_string(w.add(reading_of(p, 900)).number);
      w.answer("phone-1", asked, reply);
    });
    return reply;
  };
  const std::string first = post({"3", kMonday}, request);
  EXPECT_EQ(post({"3", {kMonday.us + 9}}, request), first);
  EXPECT_THROW(post({"3", kMonday}, practice::sha256({"POST reading 901"})), store::Conflict);
  EXPECT_NE(post({"4", kMonday}, request), first) << "a key belongs to a person";
  records_.read([](const store::Reader& r) { EXPECT_EQ(r.list<fleet::ReadingEntry>().size(), 2U); });
}

TEST_P(StoreContract, ListsByColumnsInOrder) {
  const Practice p = open_practice(records_);
  records_.write(program(), [&](store::Writer& w) {
    for (int i = 0; i < 20; ++i) w.add(reading_of(p, 1000 - 10 * i, {kMonday.us + (i % 5)}));
  });
  records_.read([&](const store::Reader& r) {
    const auto found = r.list<fleet::ReadingEntry>({.where = {{"light", store::Compare::kEqual, p.light.number},
                                                              {"taken_at", store::Compare::kAbove, kMonday.us},
                                                              {"shown_mw_cm2", store::Compare::kAtMost, 900.0}},
                                                    .order_by = "shown_mw_cm2",
                                                    .descending = true,
                                                    .limit = 3,
                                                    .offset = 1});
    ASSERT_EQ(found.size(), 3U);
    EXPECT_EQ(found[0].record.shown_mw_cm2, 880) << "900 is of the first microsecond, 890 is passed over";
    EXPECT_EQ(found[1].record.shown_mw_cm2, 870);
    EXPECT_EQ(found[2].record.shown_mw_cm2, 860);
    EXPECT_THROW(
        (void)r.list<fleet::ReadingEntry>({.where = {{"1 = 1 OR light", {}, std::int64_t{1}}}, .order_by = {}}),
        base::Failure);
    EXPECT_THROW((void)r.list<fleet::ReadingEntry>({.where = {}, .order_by = "serial"}), base::Failure);
  });
}

TEST_P(StoreContract, IsThereAfterItWasClosed) {
  const Practice p = open_practice(records_);
  const std::uint64_t size = log_size(records_);
  records_ = store::Store(place());
  EXPECT_EQ(log_size(records_), size);
  records_.read([&](const store::Reader& r) { EXPECT_EQ(r.get<practice::Room>(p.room)->record.name, "Room 2"); });
  expect_sound_log(records_);
}

TEST_P(StoreContract, ManyWritersLoseNothingAndReadersSeeWholeWrites) {
  const Practice p = open_practice(records_);
  const std::uint64_t before = log_size(records_);
  constexpr std::uint64_t writers = 4;
  constexpr std::uint64_t writes = 15;
  std::atomic<bool> done = false;
  std::atomic<int> torn = 0;
  std::thread reader([&] {
    while (!done) {
      records_.read([&](const store::Reader& r) {
        const auto readings = r.list<fleet::ReadingEntry>();
        if (readings.size() % 2 != 0 || r.edge().size() - before != readings.size()) ++torn;
      });
    }
  });
  std::vector<std::thread> threads;
  threads.reserve(writers);
  for (std::uint64_t t = 0; t < writers; ++t) {
    threads.emplace_back([&, t] {
      store::Store mine(place());
      for (std::uint64_t i = 0; i < writes; ++i) {
        mine.write(program(), [&](store::Writer& w) {
          w.add(reading_of(p, 1000 + static_cast<double>(t)));
          w.add(reading_of(p, 2000 + static_cast<double>(i)));
        });
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  done = true;
  reader.join();
  EXPECT_EQ(torn, 0);
  EXPECT_EQ(log_size(records_), before + 2 * writers * writes);
  expect_sound_log(records_);
}

TEST_P(StoreContract, AClockSetBackIsKeptAsItWas) {
  const Practice p = open_practice(records_);
  records_.write(program(5), [&](store::Writer& w) { w.add(reading_of(p, 900)); });
  records_.write(program(-5'000'000), [&](store::Writer& w) { w.add(reading_of(p, 901)); });
  records_.read([](const store::Reader& r) {
    const std::vector<practice::Change> changes = r.changes(7, 2);
    ASSERT_EQ(changes.size(), 2U);
    EXPECT_GT(changes[0].at, changes[1].at);
  });
  expect_sound_log(records_);
}

TEST_P(StoreContract, TablesHaveTheColumnsOfTheirRecords) {
  store::Session session(place());
  store::AllKinds::each(
      [&]<class Record>(std::type_identity<Record>) { expect_same_columns<Record>(session, place()); });
}

TEST_P(StoreContract, RecordsOfANewerProgramAreLeftAlone) {
  {
    store::Session session(place());
    session.run("UPDATE tables_version SET version = 1000");
  }
  try {
    const store::Store older(place());
    FAIL() << "records of a newer version were opened";
  } catch (const base::Failure& e) {
    EXPECT_THAT(e.what(), HasSubstr("newer program"));
  }
}

INSTANTIATE_TEST_SUITE_P(On, StoreContract, both(), database_name);

}  // namespace
}  // namespace throughcure::tests
