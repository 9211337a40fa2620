// What a start says after the program before was cut off. No outside source: our own contract.
#include "throughcure/service/start_up.hpp"

#include <atomic>
#include <chrono>
#include <filesystem>
#include <fstream>
#include <thread>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "service/scratch_folder.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/service/running_mark.hpp"
#include "throughcure/store/session.hpp"

namespace throughcure::tests {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

constexpr base::Instant kNow{1'767'600'000'000'000};  // 2026-01-05T08:00Z

class StartUp : public testing::Test {
 protected:
  StartUp() {
    records_.write({"program", {}}, [](store::Writer& w) { w.add(practice::Site{"Here", "Europe/Lisbon"}); });
  }

  ScratchFolder folder_;
  store::InFile place_{folder_.path() / "records.db"};
  store::Store records_{place_};
};

TEST_F(StartUp, LikeAnyOtherSaysNothing) { EXPECT_THAT(service::start_up_sentences(records_, false, kNow), IsEmpty()); }

TEST_F(StartUp, AfterACutSaysHowTheRecordsStand) {
  EXPECT_THAT(service::start_up_sentences(records_, true, kNow),
              ElementsAre("The program ended without being stopped last time; the records are whole: the one change of "
                          "the audit log stands under its root."));
  records_.write({"program", {}}, [](store::Writer& w) { w.add(practice::Site{"There", "Europe/Lisbon"}); });
  EXPECT_THAT(service::start_up_sentences(records_, true, kNow),
              ElementsAre(HasSubstr("whole: 2 changes of the audit log stand under its root.")));
}

TEST_F(StartUp, NeverCallsALogWholeThatIsNot) {
  records_.write({"program", {}}, [](store::Writer& w) { w.add(practice::Site{"There", "Europe/Lisbon"}); });
  store::Session(place_).run("UPDATE change_log SET leaf_hash = (SELECT leaf_hash FROM change_log WHERE number = 1)");
  EXPECT_THAT(service::start_up_sentences(records_, true, kNow),
              ElementsAre(HasSubstr("does not stand under its root any more. Stop the program, and restore")));
  store::Session(place_).run("DELETE FROM change_log WHERE number = 2");
  EXPECT_THAT(service::start_up_sentences(records_, true, kNow),
              ElementsAre(HasSubstr("does not stand under its root")));
}

TEST_F(StartUp, NeverCallsRecordsWholeThatAreNotWhatTheLogSays) {
  store::Session(place_).run("UPDATE site SET name = 'Elsewhere'");
  EXPECT_THAT(service::start_up_sentences(records_, true, kNow),
              ElementsAre("The program ended without being stopped last time; the records are not what the audit log "
                          "says of them: site 1: name is not what the log says. Stop the program, and restore the last "
                          "good backup."));
  store::Session(place_).run("DELETE FROM site");
  EXPECT_THAT(service::start_up_sentences(records_, true, kNow),
              ElementsAre(HasSubstr("site 1: what change 1 of the log wrote is gone")));
}

TEST_F(StartUp, SaysThatTheClockIsBehindTheLog) {
  const auto begun_at = [&](base::Instant at) {
    records_.write({"program", at}, [](store::Writer& w) { w.add(practice::Site{"There", "Europe/Lisbon"}); });
  };
  begun_at(kNow + std::chrono::seconds(59));
  EXPECT_THAT(service::start_up_sentences(records_, false, kNow), IsEmpty()) << "clocks are off by as much";
  begun_at(kNow + std::chrono::hours(50));
  begun_at(kNow);
  EXPECT_THAT(
      service::start_up_sentences(records_, false, kNow),
      ElementsAre("The clock of this computer is behind its own log: it says 2026-01-05 08:00 UTC, and a change "
                  "of 2026-01-07 10:00 UTC is in the log. Set the clock of this computer."));
  EXPECT_THAT(service::start_up_sentences(records_, false, kNow + std::chrono::hours(50)), IsEmpty());
}

TEST(RunningMark, IsLeftByWhatIsCutOffAlone) {
  const ScratchFolder folder;
  const std::filesystem::path file = folder.path() / "running.txt";
  {
    const service::RunningMark mark(folder.path());
    EXPECT_FALSE(mark.was_left());
    EXPECT_TRUE(std::filesystem::exists(file));
    const service::RunningMark other(folder.path());
    EXPECT_FALSE(other.was_left()) << "the one that it is of still runs";
    EXPECT_TRUE(other.is_anothers());
    EXPECT_FALSE(mark.is_anothers());
  }
  EXPECT_FALSE(std::filesystem::exists(file));
  {
    std::ofstream(file) << "left";
  }
  const service::RunningMark mark(folder.path());
  EXPECT_TRUE(mark.was_left());
  EXPECT_FALSE(mark.is_anothers()) << "whoever left it runs no more";
}

TEST(RunningMark, ThatWasLeftStaysUntilItWasLookedAfter) {
  const ScratchFolder folder;
  const std::filesystem::path file = folder.path() / "running.txt";
  {
    std::ofstream(file) << "left";
  }
  for (int start = 0; start < 2; ++start) {
    const service::RunningMark failed(folder.path());
    EXPECT_TRUE(failed.was_left()) << "of the program before, whatever came of this start";
  }
  {
    service::RunningMark mark(folder.path());
    EXPECT_TRUE(mark.was_left());
    mark.looked_after();
  }
  EXPECT_FALSE(std::filesystem::exists(file));
}

TEST(RunningMark, IsNeverOfTwoAtOnceWhileOthersEnd) {
  const ScratchFolder folder;
  std::atomic<int> holders = 0;
  std::atomic<int> faults = 0;
  const auto begin_and_end = [&] {
    for (int i = 0; i < 100; ++i) {
      const service::RunningMark mark(folder.path());
      if (mark.was_left()) ++faults;
      if (mark.is_anothers()) continue;
      if (++holders != 1) ++faults;
      if (!std::filesystem::exists(folder.path() / "running.txt")) ++faults;
      --holders;
    }
  };
  std::vector<std::thread> threads;
  threads.reserve(4);
  for (int i = 0; i < 4; ++i) threads.emplace_back(begin_and_end);
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(faults, 0);
}

TEST(RunningMark, WhereNothingCanBeWrittenIsNone) {
  const service::RunningMark mark("/nowhere/at/all");
  EXPECT_FALSE(mark.was_left());
  EXPECT_FALSE(mark.is_anothers());
}

}  // namespace
}  // namespace throughcure::tests
