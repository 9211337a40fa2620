// Power over time after one press.
#include "throughcure/optics/mode.hpp"

#include <gtest/gtest.h>

namespace throughcure::optics {
namespace {

/// The integral by small steps: what `full_seconds` must agree with whatever the course.
double stepped(const Course& course, double seconds) {
  constexpr int steps = 200'000;
  double sum = 0;
  for (int i = 0; i < steps; ++i) sum += share_at(course, (i + 0.5) * seconds / steps);
  return sum * seconds / steps;
}

TEST(Mode, SharesOverTime) {
  EXPECT_DOUBLE_EQ(share_at(Ramp{0.2, 5, 1}, 2.5), 0.6);
  EXPECT_DOUBLE_EQ(share_at(Ramp{0.2, 5, 1}, 9), 1);
  EXPECT_DOUBLE_EQ(share_at(Pulsed{0.5, 0.25, 0.9}, 0.8), 0.9);
  EXPECT_DOUBLE_EQ(share_at(Pulsed{0.5, 0.25, 0.9}, 0.6), 0);
  EXPECT_DOUBLE_EQ(share_at(TwoLevel{0.3, 3, 1}, 2.9), 0.3);
  EXPECT_DOUBLE_EQ(share_at(TwoLevel{0.3, 3, 1}, 3), 1);
}

TEST(Mode, FullSecondsAreTheIntegralOfTheShare) {
  const Course courses[] = {Continuous{0.7}, Ramp{0.2, 5, 1}, Pulsed{0.5, 0.25, 0.9}, TwoLevel{0.3, 3, 1}};
  for (const Course& course : courses) {
    for (const double seconds : {0.3, 1.1, 4.7, 20.0}) {
      // The sum of steps is off by less than one step at each jump, and there are 27 pulses at most.
      EXPECT_NEAR(full_seconds(course, seconds), stepped(course, seconds), 60 * seconds / 200'000) << course.index();
    }
  }
  EXPECT_DOUBLE_EQ(full_seconds(Ramp{0, 5, 1}, 10), 7.5);
}

}  // namespace
}  // namespace throughcure::optics
