// What a start says after the program before was cut off. No outside source: our own contract.
#include "throughcure/service/start_up.hpp"

#include <filesystem>
#include <fstream>

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

class StartUp : public testing::Test {
 protected:
  StartUp() {
    records_.write({"program", {}}, [](store::Writer& w) { w.add(practice::Site{"Here", "Europe/Lisbon"}); });
  }

  ScratchFolder folder_;
  store::InFile place_{folder_.path() / "records.db"};
  store::Store records_{place_};
};

TEST_F(StartUp, LikeAnyOtherSaysNothing) { EXPECT_THAT(service::start_up_sentences(records_, false), IsEmpty()); }

TEST_F(StartUp, AfterACutSaysHowTheRecordsStand) {
  EXPECT_THAT(service::start_up_sentences(records_, true),
              ElementsAre("The program ended without being stopped last time; the records are whole: the one change of "
                          "the audit log stands under its root."));
  records_.write({"program", {}}, [](store::Writer& w) { w.add(practice::Site{"There", "Europe/Lisbon"}); });
  EXPECT_THAT(service::start_up_sentences(records_, true),
              ElementsAre(HasSubstr("whole: 2 changes of the audit log stand under its root.")));
}

TEST_F(StartUp, NeverCallsALogWholeThatIsNot) {
  records_.write({"program", {}}, [](store::Writer& w) { w.add(practice::Site{"There", "Europe/Lisbon"}); });
  store::Session(place_).run("UPDATE change_log SET leaf_hash = (SELECT leaf_hash FROM change_log WHERE number = 1)");
  EXPECT_THAT(service::start_up_sentences(records_, true),
              ElementsAre(HasSubstr("does not stand under its root any more. Stop the program, and restore")));
  store::Session(place_).run("DELETE FROM change_log WHERE number = 2");
  EXPECT_THAT(service::start_up_sentences(records_, true), ElementsAre(HasSubstr("does not stand under its root")));
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

TEST(RunningMark, WhereNothingCanBeWrittenIsNone) {
  const service::RunningMark mark("/nowhere/at/all");
  EXPECT_FALSE(mark.was_left());
  EXPECT_FALSE(mark.is_anothers());
}

}  // namespace
}  // namespace throughcure::tests
