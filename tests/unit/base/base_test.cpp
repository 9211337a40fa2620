// The small things everything stands on: batches, problems, frames.
#include <array>
#include <cmath>
#include <stop_token>
#include <vector>

#include <gtest/gtest.h>

#include "throughcure/base/estimate.hpp"
#include "throughcure/base/parallel.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/base/random.hpp"
#include "throughcure/base/vec3.hpp"

namespace throughcure::base {
namespace {

TEST(Estimate, MeanAndStandardErrorOfBatches) {
  const std::array<double, 4> batches = {1, 2, 3, 4};
  const Estimate e = estimate_from_batches(batches);
  EXPECT_DOUBLE_EQ(e.value, 2.5);
  EXPECT_DOUBLE_EQ(e.se, std::sqrt(5.0 / 3 / 4));
}

TEST(Batches, EachRunsOnceWhateverTheThreads) {
  for (const unsigned threads : {1U, 2U, 7U}) {
    std::vector<int> seen(1000, 0);
    for_each_batch(seen.size(), {.threads = threads}, "counting", [&](std::size_t i) { ++seen[i]; });
    for (const int s : seen) ASSERT_EQ(s, 1);
  }
}

TEST(Batches, StopTokenEndsThemAndAnErrorIsPassedOn) {
  std::stop_source source;
  EXPECT_THROW(
      for_each_batch(1000, {.threads = 2, .stop = source.get_token()}, "", [&](std::size_t) { source.request_stop(); }),
      Interrupted);
  EXPECT_THROW(for_each_batch(10, {.threads = 2}, "",
                              [](std::size_t i) {
                                if (i == 3) throw Failure("three");
                              }),
               Failure);
}

TEST(Problem, NamesFilePlaceFieldAndRemedy) {
  EXPECT_EQ(sentence({"light.toml", 3, 1, "tip.diameter_mm", "-8 mm is below 0.5 mm", "Give the optical diameter"}),
            "light.toml:3:1: tip.diameter_mm: -8 mm is below 0.5 mm. Give the optical diameter.");
}

TEST(Frame, IsRightHandedAndOrthonormalForAnyDirection) {
  Stream random(3, 0, 0);
  for (int i = 0; i < 1000; ++i) {
    const Direction d = unit({random.uniform() - 0.5, random.uniform() - 0.5, random.uniform() - 0.5});
    const Frame f = frame_about(d);
    EXPECT_NEAR(dot(f.u, d), 0, 1e-14);
    EXPECT_NEAR(dot(f.v, d), 0, 1e-14);
    EXPECT_NEAR(dot(f.u, f.v), 0, 1e-14);
    const Vec w = cross(f.u.vec(), f.v.vec());
    EXPECT_NEAR(dot(w, d), 1, 1e-14);
  }
}

}  // namespace
}  // namespace throughcure::base
