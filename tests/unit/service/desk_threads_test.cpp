// Work that throws ends neither its thread nor the program. No outside source: our own contract.
#include <stdexcept>
#include <string>

#include <gtest/gtest.h>

#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {
namespace {

TEST(DeskThreads, TellTheLogWhatWorkThrewAndGoOn) {
  std::string logged;
  bool went_on = false;
  const auto log = [&](std::string_view what) { logged = what; };
  DeskThreads threads(1);
  threads.post([] { throw std::runtime_error("the disk is full"); }, log);
  threads.post([&] { went_on = true; }, log);
  threads.close();
  EXPECT_EQ(logged, "the disk is full");
  EXPECT_TRUE(went_on);
}

}  // namespace
}  // namespace throughcure::service
