// Records are held against the log that they stand on, whatever the database. No outside source: our own contract.
#include "throughcure/store/against_log.hpp"

#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "contract/files_at.hpp"
#include "contract/places.hpp"
#include "contract/practice.hpp"
#include "throughcure/store/backup.hpp"
#include "throughcure/store/session.hpp"

namespace throughcure::tests {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::UnorderedElementsAre;

/// Several kinds with corrections, sealed fields, fields that were filled in, changed and taken away again; more
/// readings than one answer of the database holds.
class AgainstLog : public EveryDatabase {
 protected:
  AgainstLog() {
    p_ = open_practice(records_);
    records_.write(program(), [&](store::Writer& w) {
      for (int i = 0; i < 230; ++i) w.add(reading_of(p_, 1000 - i / 3.0, {kMonday.us + i}));
      made_ = w.add(restoration_of(p_, "12-345"));
      w.add(restoration_of(p_, "12-346"));
      w.attach(paper_of(p_), "%PDF-1.7");
      w.correct(p_.tip, 1, fleet::TipEntry{p_.light, "8 mm", 7.9});
    });
    records_.write(program(1), [&](store::Writer& w) {
      practice::Restoration made = restoration_of(p_, "12-345");
      made.note = {};
      made.room = p_.room;
      w.correct(made_, 1, made);
      made.chart = "12-999";
      made.probability = -0.0;
      w.correct(made_, 2, made);
      fleet::ReadingEntry reading = reading_of(p_, 900);
      reading.note = "a second look";
      w.correct(base::ReadingId{7}, 1, reading);
    });
  }
  store::AgainstLog found() {
    store::AgainstLog now;
    records_.read([&](const store::Reader& r) { now = r.against_log(); });
    return now;
  }
  void behind_its_back(const std::string& sql) const { store::Session(place()).run(sql); }

  store::Store records_{place()};
  Practice p_;
  base::RestorationId made_;
};

TEST_P(AgainstLog, SoundRecordsAreWhatTheLogSays) {
  const store::AgainstLog sound = found();
  EXPECT_THAT(sound.told, IsEmpty());
  EXPECT_EQ(sound.faults, 0U);
  EXPECT_TRUE(sound.under_root);
  EXPECT_EQ(sound.changes, 6U + 230U + 2U + 1U + 1U + 3U);
  EXPECT_EQ(store::words_of(sound), "");
}

TEST_P(AgainstLog, RecordsThatHaveJustBegunAreSound) {
  const std::unique_ptr<Ground> ground = ground_called(GetParam());
  store::Store empty(ground->place());
  empty.read([](const store::Reader& r) {
    EXPECT_TRUE(r.against_log().under_root);
    EXPECT_EQ(r.against_log().faults, 0U);
  });
}

TEST_P(AgainstLog, AnAlteredValueIsNamedByItsField) {
  behind_its_back("UPDATE restoration SET probability = 0.11 WHERE id = 2");
  EXPECT_THAT(found().told, ElementsAre("restoration 2: probability is not what the log says"));
  EXPECT_TRUE(found().under_root);
}

TEST_P(AgainstLog, ASealedValueIsOpenedAndNeverTold) {
  behind_its_back("UPDATE restoration SET chart = '66-666' WHERE id = 2");
  EXPECT_THAT(found().told, ElementsAre("restoration 2: chart is not what the log says"));
  behind_its_back("DELETE FROM log_salt WHERE field = 'chart'");
  EXPECT_THAT(store::words_of(found()), HasSubstr("restoration 2: chart cannot be held against the log, as its salt"));
  EXPECT_THAT(store::words_of(found()), Not(HasSubstr("66-666")));
}

TEST_P(AgainstLog, WhatNoChangeNamesStaysAsItWas) {
  behind_its_back("UPDATE reading SET battery = 0.5 WHERE id = 9");
  behind_its_back("UPDATE restoration SET tooth = '11' WHERE id = 1 AND revision = 3");
  behind_its_back("UPDATE restoration SET note = 'none' WHERE id = 1 AND revision = 2");
  behind_its_back("UPDATE person SET everywhere = 1");
  EXPECT_THAT(found().told, UnorderedElementsAre("reading 9: battery is not what the log says",
                                                 "person 1: everywhere is not what the log says",
                                                 "restoration 1: note is not what the log says",
                                                 "restoration 1: note is not what the log says",
                                                 "restoration 1: tooth is not what the log says"))
      << "the note is wrong in the revision that took it away, and the next one has it no more";
}

TEST_P(AgainstLog, ADeletedRecordIsMissed) {
  behind_its_back("DELETE FROM reading WHERE id = 8");
  behind_its_back("DELETE FROM attachment");
  EXPECT_THAT(found().told, UnorderedElementsAre("reading 8: what change 14 of the log wrote is gone",
                                                 "attachment 1: what change 239 of the log wrote is gone"));
}

TEST_P(AgainstLog, ADeletedRevisionIsMissedAndSoIsTheNewestOne) {
  behind_its_back("DELETE FROM restoration WHERE id = 1 AND revision = 2");
  EXPECT_THAT(store::words_of(found()), HasSubstr("restoration 1: revision 2 is gone"));
  behind_its_back("UPDATE tip SET newest = 0 WHERE revision = 2");
  EXPECT_THAT(store::words_of(found()), HasSubstr("tip 1: its last revision is not called the newest"));
  behind_its_back("UPDATE tip SET newest = 1 WHERE revision = 1");
  EXPECT_THAT(store::words_of(found()), HasSubstr("tip 1: revision 1 is called the newest, and a later one is there"));
}

TEST_P(AgainstLog, AnInsertedRecordHasNoChange) {
  behind_its_back(
      "INSERT INTO tip (id, revision, newest, change, light, name, diameter_mm) VALUES (2, 1, 1, 5, 1, 'x', 9)");
  behind_its_back(
      "INSERT INTO tip (id, revision, newest, change, light, name, diameter_mm) VALUES (-3, 1, 1, 9999, 1, 'x', 9)");
  EXPECT_THAT(found().told, ElementsAre("tip -3: revision 1 is one that the log has no change of",
                                        "tip 2: revision 1 is one that the log has no change of"));
}

TEST_P(AgainstLog, AnAlteredLeafIsTold) {
  behind_its_back("UPDATE change_log SET leaf = (SELECT leaf FROM change_log WHERE number = 12) WHERE number = 13");
  EXPECT_THAT(store::words_of(found()), HasSubstr("change 13: its leaf is not the one of its hash"));
  EXPECT_TRUE(found().under_root) << "its hash is still the one that was written";
}

TEST_P(AgainstLog, WhatStandsBesideALeafIsHeldAgainstIt) {
  behind_its_back("UPDATE change_log SET person = '77' WHERE number = 13");
  EXPECT_THAT(found().told, ElementsAre("change 13: its person is not what its leaf says"));
}

TEST_P(AgainstLog, ALogThatWasCutShortDoesNotGiveItsRoot) {
  behind_its_back("DELETE FROM change_log WHERE number = 240");
  EXPECT_FALSE(found().under_root);
  EXPECT_GT(found().faults, 0U);
}

TEST_P(AgainstLog, TheFirstFaultsAreToldAndAllAreCounted) {
  behind_its_back("UPDATE reading SET radiometer = 5");
  const store::AgainstLog many = found();
  EXPECT_EQ(many.told.size(), store::kMostToldFaults);
  EXPECT_EQ(many.faults, 230U) << "the correction names no radiometer: it is as before";
  EXPECT_THAT(store::words_of(many), HasSubstr("; and 225 more"));
}

TEST_P(AgainstLog, ABackupOfSuchRecordsIsMadeAndTellsOfThem) {
  behind_its_back("UPDATE restoration SET probability = 0.11 WHERE id = 2");
  const std::unique_ptr<Ground> folder = ground_called("file");
  const auto file = std::get<store::InFile>(folder->place()).path.parent_path() / "one.backup";
  const auto told = ElementsAre("restoration 2: probability is not what the log says");
  EXPECT_THAT(store::back_up(place(), file, kMonday).against_log.told, told);
  EXPECT_THAT(store::look_through(file).against_log.told, told);
  const std::unique_ptr<Ground> empty = ground_called(GetParam());
  EXPECT_THAT(store::restore(file, empty->place()).against_log.told, told);
}

INSTANTIATE_TEST_SUITE_P(On, AgainstLog, both(), database_name);

}  // namespace
}  // namespace throughcure::tests
