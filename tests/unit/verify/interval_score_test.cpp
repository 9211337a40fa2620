// The interval score, coverage and the constant that every forecast is held against.
#include "verify/interval_score.hpp"

#include <cmath>
#include <vector>

#include <gtest/gtest.h>

#include "throughcure/base/random.hpp"

namespace throughcure::verify {
namespace {

// Source: Gneiting, Raftery 2007, equation 43 (published), worked out by hand: width, and ten times what lies beyond.
TEST(IntervalScore, IsTheWidthAndTenTimesWhatLiesBeyond) {
  EXPECT_NEAR(interval_score({"a", 2.5, 2, 3}), 1, 1e-12);
  EXPECT_NEAR(interval_score({"a", 3.2, 2, 3}), 1 + 2, 1e-12);
  EXPECT_NEAR(interval_score({"a", 1.9, 2, 3}), 1 + 1, 1e-12);
}

// It is proper: of all central intervals of a normal, its own quantiles score best in the mean. 20,000 numbers: the
// differences here are ten and more of their standard errors.
TEST(IntervalScore, FavoursTheTrueQuantiles) {
  constexpr double quantile = 1.2816;
  const auto mean_score = [](double reach) {
    base::Stream stream(7, 1, 0);
    double sum = 0;
    constexpr int numbers = 20'000;
    for (int i = 0; i < numbers; ++i) {
      const double r = std::sqrt(-2 * std::log(stream.uniform()));
      sum += interval_score({"", r * std::cos(6.283185307 * stream.uniform()), -reach, reach});
    }
    return sum / numbers;
  };
  EXPECT_LT(mean_score(quantile), mean_score(quantile * 0.7));
  EXPECT_LT(mean_score(quantile), mean_score(quantile * 1.4));
}

TEST(Score, CountsTheInsideAndTakesTheMedianWidth) {
  const std::vector<Foretold> rows = {{"a", 1, 0, 2}, {"a", 5, 0, 4}, {"b", 1, 0, 10}};
  const Score found = score(rows);
  EXPECT_EQ(found.rows, 3U);
  EXPECT_EQ(found.inside, 2U);
  EXPECT_NEAR(found.median_width, 4, 1e-12);
  EXPECT_NEAR(found.mean_score, (2 + 14 + 10) / 3.0, 1e-12);
  EXPECT_EQ(score({}).rows, 0U);
}

TEST(ConstantMean, KnowsTheOtherStudiesOnly) {
  const std::vector<Foretold> rows = {{"a", 1, 0, 0}, {"a", 1, 0, 0}, {"b", 2, 0, 0}, {"b", 4, 0, 0}};
  const std::vector<Foretold> constant = constant_mean(rows, BaselineOf::kOtherStudies);
  ASSERT_EQ(constant.size(), 4U);
  EXPECT_NEAR((constant[0].low + constant[0].high) / 2, 3, 1e-12) << "the mean of b";
  EXPECT_NEAR((constant[2].low + constant[2].high) / 2, 1, 1e-12) << "the mean of a";
  // sd of 2 and 4 is sqrt 2, and there are two of them.
  EXPECT_NEAR(constant[0].high - constant[0].low, 2 * 1.28155 * std::sqrt(2.0) * std::sqrt(1.5), 1e-4);
}

TEST(ConstantMean, OrTheOtherRowsOfTheStudyWithoutTheRowItself) {
  const std::vector<Foretold> rows = {{"a", 1, 0, 0}, {"a", 2, 0, 0}, {"a", 6, 0, 0}, {"b", 9, 0, 0}};
  const std::vector<Foretold> constant = constant_mean(rows, BaselineOf::kOtherRows);
  ASSERT_EQ(constant.size(), 3U) << "b has no other rows";
  EXPECT_NEAR((constant[0].low + constant[0].high) / 2, 4, 1e-12);
  EXPECT_NEAR((constant[2].low + constant[2].high) / 2, 1.5, 1e-12);
}

}  // namespace
}  // namespace throughcure::verify
