#include "throughcure/service/rising_progress.hpp"

#include <string>
#include <utility>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace throughcure::service {
namespace {

using testing::DoubleEq;
using testing::ElementsAre;
using testing::Pair;

TEST(RisingProgress, EachStepTakesItsShareOfWhatIsLeft) {
  std::vector<std::pair<double, std::string>> told;
  const base::Running whole{
      .progress = [&told](double share, std::string_view what) { told.emplace_back(share, what); }};
  RisingProgress progress(whole);
  const base::Running first = progress.part("first", 0.4, 2);
  for (const double share : {0.5, 1.0, 0.5, 1.0}) first.progress(share, "its own words");
  progress.part("", 1, 1).progress(1, "in its own words");
  EXPECT_THAT(told, ElementsAre(Pair(0.0, "first"), Pair(DoubleEq(0.1), "first"), Pair(DoubleEq(0.2), "first"),
                                Pair(DoubleEq(0.25), "first"), Pair(DoubleEq(0.3), "first"), Pair(DoubleEq(0.4), ""),
                                Pair(DoubleEq(1.0), "in its own words")));
}

TEST(RisingProgress, NeverFallsAndNeverLeavesItsPart) {
  double before = 0;
  const base::Running whole{.progress = [&before](double share, std::string_view) {
    EXPECT_GE(share, before);
    EXPECT_LE(share, 0.5);
    before = share;
  }};
  RisingProgress progress(whole);
  const base::Running part = progress.part("many steps", 0.5, 4);
  for (int step = 0; step < 50; ++step) {
    base::for_each_batch(7, part, "a step", [](std::size_t) {});
  }
  EXPECT_GT(before, 0.49);
}

TEST(RisingProgress, KeepsTheThreadsAndTheStop) {
  const std::stop_source stop;
  const base::Running whole{.threads = 3, .stop = stop.get_token()};
  RisingProgress progress(whole);
  const base::Running part = progress.part("", 1, 1);
  EXPECT_EQ(part.threads, 3U);
  EXPECT_FALSE(part.progress);
  stop.request_stop();
  EXPECT_TRUE(part.stop.stop_requested());
}

}  // namespace
}  // namespace throughcure::service
