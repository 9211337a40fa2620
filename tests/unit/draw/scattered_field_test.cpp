// The interpolated field goes through its samples, keeps to their range, follows slopes.
#include "throughcure/draw/scattered_field.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace throughcure::draw {
namespace {

/// Samples at places that differ by a tenth at least, with values of no order.
rc::Gen<std::vector<Sample>> any_samples() {
  return rc::gen::map(rc::gen::nonEmpty(rc::gen::uniqueBy<std::vector<std::tuple<int, int, int>>>(
                          rc::gen::tuple(rc::gen::inRange(0, 100), rc::gen::inRange(0, 100), rc::gen::inRange(0, 1000)),
                          [](const auto& one) { return std::get<0>(one) * 100 + std::get<1>(one); })),
                      [](const std::vector<std::tuple<int, int, int>>& raw) {
                        std::vector<Sample> samples;
                        samples.reserve(raw.size());
                        for (const auto& [x, y, v] : raw) {
                          samples.push_back({{x / 10.0, y / 10.0}, v / 1000.0, 1 - v / 2000.0});
                        }
                        return samples;
                      });
}

RC_GTEST_PROP(ScatteredField, TakesEverySamplesValueAtItsPlace, ()) {
  const auto samples = *any_samples();
  const ScatteredField field(samples);
  for (const Sample& s : samples) {
    RC_ASSERT(std::abs(field.at(s.at).conversion - s.conversion) < 1e-6);
    RC_ASSERT(std::abs(field.at(s.at).hardness_ratio - s.hardness_ratio) < 1e-6);
  }
}

RC_GTEST_PROP(ScatteredField, NeverLeavesTheSamplesRange, ()) {
  const auto samples = *any_samples();
  const ScatteredField field(samples);
  const Place place{*rc::gen::inRange(-100, 200) / 10.0, *rc::gen::inRange(-100, 200) / 10.0};
  const auto [least, most] = std::ranges::minmax(samples, {}, &Sample::conversion);
  RC_ASSERT(field.at(place).conversion >= least.conversion);
  RC_ASSERT(field.at(place).conversion <= most.conversion);
}

TEST(ScatteredField, FollowsAStraightSlopeBetweenItsSamples) {
  std::vector<Sample> samples;
  const auto slope = [](double x, double y) { return 0.2 + 0.03 * x + 0.05 * y; };
  for (int i = 0; i < 6; ++i) {
    for (int j = 0; j < 6; ++j) samples.push_back({{1.0 * i, 1.0 * j + 0.1 * (i % 2)}, slope(i, j + 0.1 * (i % 2)), 0});
  }
  const ScatteredField field(samples);
  for (int i = 0; i <= 12; ++i) {
    for (int j = 0; j <= 12; ++j) {
      const double x = 0.5 + 0.37 * i;
      const double y = 0.5 + 0.37 * j;
      EXPECT_NEAR(field.at({x, y}).conversion, slope(x, y), 2e-3);
    }
  }
}

TEST(ScatteredField, OfSamplesOnOneLineIsLevelAcross) {
  const ScatteredField field({{{0, 0}, 0.2, 0}, {{0, 1}, 0.4, 0}, {{0, 2}, 0.6, 0}});
  EXPECT_NEAR(field.at({0.3, 1}).conversion, 0.4, 1e-3);
  EXPECT_NEAR(field.at({0, 0.5}).conversion, 0.3, 0.02);
  EXPECT_DOUBLE_EQ(ScatteredField({{{0, 0}, 0.2, 0.3}}).at({5, 5}).hardness_ratio, 0.3);
}

TEST(ScatteredField, SmoothedKeepsASlopeAndLessThanHalfOfTheErrors) {
  // Errors of +-1 on a lattice, of no order; the slope below them is what is to be seen.
  constexpr int kSide = 12;
  std::vector<Sample> samples;
  const auto slope = [](const Place& p) { return 10 + 3 * p.x_mm - 2 * p.y_mm; };
  std::uint32_t state = 12345;
  for (int i = 0; i < kSide; ++i) {
    for (int j = 0; j < kSide; ++j) {
      state = 1664525U * state + 1013904223U;
      const Place at{1.0 * i, 1.0 * j};
      samples.push_back({at, slope(at), slope(at) + (state >> 31U == 0 ? 1.0 : -1.0)});
    }
  }
  const ScatteredField field(samples, 1);
  double squares = 0;
  int places = 0;
  for (int i = 2; i < kSide - 2; ++i) {
    for (int j = 2; j < kSide - 2; ++j) {
      const Place at{1.0 * i, 1.0 * j};
      EXPECT_NEAR(field.at(at).conversion, slope(at), 0.01);
      squares += std::pow(field.at(at).hardness_ratio - slope(at), 2);
      ++places;
    }
  }
  EXPECT_LT(std::sqrt(squares / places), 0.5);
  EXPECT_GT(std::sqrt(squares / places), 0.2);
}

}  // namespace
}  // namespace throughcure::draw
