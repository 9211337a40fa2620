// The backup of the day and what is kept. No outside source: our own contract, days and weeks by the calendar of 2026
// (2026-01-05 is a Monday).
#include "throughcure/service/daily_backup.hpp"

#include <condition_variable>
#include <filesystem>
#include <mutex>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "service/scratch_folder.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/store/backup.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::tests {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

constexpr base::Instant kMonday{1'767'600'000'000'000};  // 2026-01-05T08:00Z
constexpr std::chrono::days kDay{1};

TEST(BackupsToRemove, FourteenDaysAndEightWeeksAreKept) {
  std::vector<std::string> there;
  for (int day = 0; day < 365; ++day) {
    there.push_back(base::instant_text(kMonday + day * kDay).substr(0, 10) + ".backup");
    for (const std::string& old : service::backups_to_remove(there)) std::erase(there, old);
  }
  // The last day is Monday, 2027-01-04: 14 days back to 2026-12-22, and the Mondays of the 8 weeks up to it.
  EXPECT_THAT(there, ElementsAre("2026-11-16.backup", "2026-11-23.backup", "2026-11-30.backup", "2026-12-07.backup",
                                 "2026-12-14.backup", "2026-12-21.backup", "2026-12-22.backup", "2026-12-23.backup",
                                 "2026-12-24.backup", "2026-12-25.backup", "2026-12-26.backup", "2026-12-27.backup",
                                 "2026-12-28.backup", "2026-12-29.backup", "2026-12-30.backup", "2026-12-31.backup",
                                 "2027-01-01.backup", "2027-01-02.backup", "2027-01-03.backup", "2027-01-04.backup"));
}

TEST(BackupsToRemove, OtherFilesAreLeftAlone) {
  std::vector<std::string> names = {"letter.txt", "2026-13-01.backup", "2026-01-01.backup.part-7", "my.backup", ""};
  for (int day = 0; day < 20; ++day) {
    names.push_back(base::instant_text(kMonday + day * kDay).substr(0, 10) + ".backup");
  }
  EXPECT_THAT(service::backups_to_remove(names),
              ElementsAre("2026-01-06.backup", "2026-01-07.backup", "2026-01-08.backup", "2026-01-09.backup",
                          "2026-01-10.backup"));
  EXPECT_THAT(service::backups_to_remove({}), IsEmpty());
}

TEST(DailyBackup, OneADayThatIsWhole) {
  const ScratchFolder folder;
  const store::Place place = store::InFile{folder.path() / "records.db"};
  {
    const store::Store records(place);
  }
  const auto backups = folder.path() / "backups";
  EXPECT_TRUE(service::back_up_daily(place, backups, kMonday).made);
  EXPECT_FALSE(service::back_up_daily(place, backups, kMonday + std::chrono::hours(15)).made);
  EXPECT_TRUE(service::back_up_daily(place, backups, kMonday + kDay).made);
  EXPECT_TRUE(service::back_up_daily(place, backups, kMonday - 2 * kDay).made) << "the clock was set back";
  EXPECT_EQ(store::look_through(backups / "2026-01-05.backup").made_at, kMonday);
  for (int day = 2; day < 20; ++day) EXPECT_TRUE(service::back_up_daily(place, backups, kMonday + day * kDay).made);
  const auto kept = std::distance(std::filesystem::directory_iterator(backups), {});
  EXPECT_EQ(kept, 14 + 2) << "14 days, the Monday before them, and the Saturday before that";
}

TEST(DailyBackup, WhatWasBegunAndNeverFinishedIsClearedAway) {
  const ScratchFolder folder;
  const store::Place place = store::InFile{folder.path() / "records.db"};
  {
    const store::Store records(place);
  }
  const auto backups = folder.path() / "backups";
  const std::vector<std::string> others = {"2026-01-03.backup", "2026-13-01.backup.begun", "letter.backup.begun",
                                           "my 2026-01-03.backup.begun"};
  std::filesystem::create_directory(backups);
  for (const std::string& name : others) base::write_file(backups / name, std::string_view("kept"));
  for (const char* begun : {"2026-01-03.backup.begun", "2026-01-04.backup.begun.part-4711",
                            "2026-01-04.backup.begun.part-4711-wal", "2026-01-05.backup.begun"}) {
    base::write_file(backups / begun, std::string_view("half of it"));
  }
  EXPECT_TRUE(service::back_up_daily(place, backups, kMonday).made);
  std::vector<std::string> left;
  for (const auto& entry : std::filesystem::directory_iterator(backups)) left.push_back(entry.path().filename());
  std::vector<std::string> expected = others;
  expected.emplace_back("2026-01-05.backup");
  EXPECT_THAT(left, testing::UnorderedElementsAreArray(expected));
}

TEST(BackupsToRemove, AnIncompleteOneNeverTakesThePlaceOfAWholeOne) {
  std::vector<std::string> there = {"2026-01-05.backup", "2026-01-06.backup"};
  for (int day = 2; day < 200; ++day) {
    there.push_back(base::instant_text(kMonday + day * kDay).substr(0, 10) + ".incomplete.backup");
    for (const std::string& old : service::backups_to_remove(there)) std::erase(there, old);
  }
  EXPECT_THAT(there, testing::IsSupersetOf({"2026-01-05.backup", "2026-01-06.backup"}));
  // The incomplete ones are counted likewise: 14 days and the Mondays of 8 weeks, of which 2 are among the days.
  EXPECT_EQ(there.size(), 2U + 14U + 6U);
}

class LackingBackup : public testing::Test {
 protected:
  LackingBackup() {
    store::Store records(place_);
    records.write({"program", kMonday}, [&](store::Writer& w) { hash_ = w.keep_file("lights/lamp.csv", kBytes); });
    file_ = folder_.path() / "files" / hash_.substr(0, 2) / hash_.substr(2, 2) / hash_;
  }
  [[nodiscard]] std::vector<std::string> names() const {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(backups_)) names.push_back(entry.path().filename());
    return names;
  }

  static constexpr std::string_view kBytes = "wavelength_nm,relative\n455,1\n";
  ScratchFolder folder_;
  store::Place place_ = store::InFile{folder_.path() / "records.db"};
  std::filesystem::path backups_ = folder_.path() / "backups";
  std::string hash_;
  std::filesystem::path file_;
};

TEST_F(LackingBackup, IsCalledIncompleteAndGivesWayToAWholeOne) {
  EXPECT_THAT(service::back_up_daily(place_, backups_, kMonday).lost, IsEmpty());
  base::write_file(file_, std::string_view("rotten"));
  const service::BackupOfDay lacking = service::back_up_daily(place_, backups_, kMonday + kDay);
  EXPECT_TRUE(lacking.made);
  ASSERT_EQ(lacking.lost.size(), 1U);
  EXPECT_EQ(lacking.lost[0].name, "lights/lamp.csv");
  EXPECT_THAT(names(), testing::UnorderedElementsAre("2026-01-05.backup", "2026-01-06.incomplete.backup"));

  const service::BackupOfDay again = service::back_up_daily(place_, backups_, kMonday + kDay + std::chrono::hours(1));
  EXPECT_FALSE(again.made) << "not every quarter of an hour";
  EXPECT_EQ(again.lost, lacking.lost);

  base::write_file(file_, kBytes);
  const service::BackupOfDay mended = service::back_up_daily(place_, backups_, kMonday + kDay + std::chrono::hours(2));
  EXPECT_TRUE(mended.made);
  EXPECT_THAT(mended.lost, IsEmpty());
  EXPECT_THAT(names(), testing::UnorderedElementsAre("2026-01-05.backup", "2026-01-06.backup"));
}

TEST_F(LackingBackup, IsToldInTheLogWithoutNamesAndToTheLead) {
  std::filesystem::remove(file_);
  std::string told;
  service::BackupState state;
  {
    const service::DailyBackup daily(
        place_, backups_, [] { return kMonday; }, [&](std::string_view what) { told += what; }, state);
    for (int waited = 0; state.news().lost.empty() && waited < 20'000; ++waited) {
      std::this_thread::sleep_for(std::chrono::milliseconds(1));
    }
  }
  EXPECT_THAT(told, testing::AllOf(testing::HasSubstr("a file that kept cases name is gone"),
                                   testing::Not(testing::HasSubstr("lamp.csv"))));
  ASSERT_EQ(state.news().lost.size(), 1U);
  EXPECT_EQ(state.news().lost[0].name, "lights/lamp.csv");
  EXPECT_EQ(state.news().trouble, "");
}

TEST(DailyBackup, WhatGoesWrongIsToldAndNothingElseStops) {
  const ScratchFolder folder;
  base::write_file(folder.path() / "backups", std::string_view("a file where the folder should be"));
  std::string told;
  std::mutex mutex;
  std::condition_variable said;
  service::BackupState state;
  {
    const service::DailyBackup daily(
        store::InFile{folder.path() / "records.db"}, folder.path() / "backups", [] { return kMonday; },
        [&](std::string_view what) {
          const std::scoped_lock lock(mutex);
          told = what;
          said.notify_all();
        },
        state);
    std::unique_lock lock(mutex);
    EXPECT_TRUE(said.wait_for(lock, std::chrono::seconds(20), [&] { return !told.empty(); }));
  }
  EXPECT_THAT(told, testing::HasSubstr("The backup of the day could not be made"));
  EXPECT_THAT(state.news().trouble, testing::HasSubstr("cannot make"));
}

}  // namespace
}  // namespace throughcure::tests
