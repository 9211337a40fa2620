// A computer whose clock was set back, as phones meet it. No outside source: our own contract.
#include <chrono>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/fleet/equipment.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using std::chrono::hours;
using testing::HasSubstr;
using testing::Not;

class SlowClock : public testing::Test {
 protected:
  SlowClock() : lead_(office_.begin()) {
    office_.records().write({"1", office_.now},
                            [](store::Writer& w) { w.add(fleet::RadiometerEntry{"Meter", "R-7", 8.0, {}}); });
  }
  /// What a phone is told whose check was taken then.
  std::string told(base::Instant taken_at) {
    const Told answer = office_.post(lead_, "/api/checks",
                                     {{"light", 1},
                                      {"tip", 1},
                                      {"radiometer", 1},
                                      {"room", 1},
                                      {"taken_at", base::instant_text(taken_at)},
                                      {"mode", "standard"},
                                      {"shown_mw_cm2", 1100},
                                      {"barrier_on", false},
                                      {"tip_clean", true},
                                      {"purpose", "check"}});
    EXPECT_EQ(answer.status, 422) << answer.body.dump();
    return answer.body.value("sentence", "");
  }

  Office office_;
  Browser lead_;
};

TEST_F(SlowClock, ACheckOfTodayIsRefusedByTheClockThatIsWrong) {
  const base::Instant today = office_.now;
  office_.now = today - hours(24 * 40);
  EXPECT_THAT(told(today),
              HasSubstr("taken_at: it lies more than a day ahead. The clock of this computer is behind its "
                        "own log: it says 2025-11-26 08:00 UTC, and a change of 2026-01-05 08:00 UTC"));
}

TEST_F(SlowClock, APhoneThatIsAheadIsToldOfItsOwn) {
  const std::string sentence = told(office_.now + hours(24 * 40));
  EXPECT_THAT(sentence, HasSubstr("Set the clock of this device"));
  EXPECT_THAT(sentence, Not(HasSubstr("behind its own log")));
}

}  // namespace
}  // namespace throughcure::tests
