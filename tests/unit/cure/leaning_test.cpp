// Proposals that lean: what they draw more often must count for as much less.
#include "throughcure/cure/leaning.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include <gtest/gtest.h>

#include "throughcure/cure/ensemble.hpp"
#include "unit/cure/invented_paste.hpp"

namespace throughcure::cure {
namespace {

constexpr std::uint64_t kSeed = 77;
constexpr std::uint32_t kPurpose = 5;

TEST(LeaningStream, IsTheStreamItselfWhereItDoesNotLean) {
  const Leaning even;
  base::Stream plain(kSeed, kPurpose, 3);
  LeaningStream leaning(base::Stream(kSeed, kPurpose, 3), even);
  for (int i = 0; i < 40; ++i) ASSERT_EQ(leaning.uniform(), plain.uniform()) << i;
  EXPECT_EQ(leaning.fell().numbers, Leaning::kNumbers) << "what comes later is not noted";
}

/// The first number three times as often in the uppermost eighth, the second even.
Leaning upwards() {
  Leaning leaning;
  leaning.density[0] = {5.0 / 7, 5.0 / 7, 5.0 / 7, 5.0 / 7, 5.0 / 7, 5.0 / 7, 5.0 / 7, 3};
  return leaning;
}

// Means of 20,000 numbers, four standard errors (a false alarm once in 16,000 at a random seed).
TEST(LeaningStream, FallsAsItLeansAndItsWeightsMakeUpForIt) {
  const std::vector<Stage> stages = {{Leaning{}, 1}, {upwards(), 1}};
  constexpr int draws = 20'000;
  double high = 0;
  double weighted = 0;
  double mean = 0;
  for (int i = 0; i < draws; ++i) {
    // Half of the draws lean: the two stages together.
    LeaningStream stream(base::Stream(kSeed, kPurpose, static_cast<std::uint64_t>(i)),
                         stages[i % 2 == 0 ? 0U : 1U].leaning);
    const double u = stream.uniform();
    (void)stream.uniform();
    const double w = 1 / density(stages, stream.fell());
    high += u >= 0.875 ? 1 : 0;
    weighted += w;
    mean += w * u;
  }
  EXPECT_NEAR(high / draws, (1 + 3) / 2.0 / 8, 4 * std::sqrt(0.25 * 0.75 / draws));
  EXPECT_NEAR(weighted / draws, 1, 4 * 0.4 / std::sqrt(draws));
  EXPECT_NEAR(mean / draws, 0.5, 4 * 0.35 / std::sqrt(draws));
}

TEST(Lean, GoesToWhereTheWeightIsAndNoFurtherThanItIsWorth) {
  std::vector<Fell> fell(400);
  std::vector<double> weights(400, 1);
  for (std::size_t i = 0; i < fell.size(); ++i) {
    fell[i].numbers = 2;
    fell[i].step = {static_cast<std::uint8_t>(i % 2), static_cast<std::uint8_t>(i % 8)};
  }
  const Leaning much = lean(fell, weights);
  EXPECT_NEAR(much.density[0][0], (400 * 0.5 * 8 + 80) / 480, 1e-9);
  EXPECT_GT(much.density[0][7], 0) << "nowhere is given up";
  EXPECT_NEAR(much.density[1][3], 1, 1e-9);
  EXPECT_EQ(much.density[2][0], 1) << "a number that no draw takes";
  for (std::size_t i = 0; i < 3; ++i) {
    double sum = 0;
    for (const double d : much.density[i]) sum += d;
    EXPECT_NEAR(sum, 8, 1e-9);
  }
  std::fill(weights.begin() + 1, weights.end(), 0);
  EXPECT_LT(lean(fell, weights).density[0][0], 1.1) << "one draw is not worth leaning to";
}

// A fact about one number whose answer is known: the wall's reflectance is a triangle from 0.3 to 0.7, and is read as
// 0.66 +- 0.0066. Only proposals that lean find 512 such among so few. Expected by summing triangle times normal.
TEST(Leaning, GivesTheRightAnswerFromFewerProposals) {
  Facts facts;
  facts.discs = {
      {.fraction = 0.66, .sd_relative = 0.01, .predicted = [](const Draw& d) { return d.mould_reflectance; }}};
  const Ensemble ensemble = condition(invented::paste(), facts, kSeed, {.draws = 512, .most_proposals = 8192});
  double sum = 0;
  double mean = 0;
  double squares = 0;
  for (int i = 0; i < 4000; ++i) {
    const double r = 0.5 + (i + 0.5) * 0.2 / 4000;
    const double w = (0.7 - r) * std::exp(-0.5 * std::pow((r / 0.66 - 1) / 0.01, 2));
    sum += w;
    mean += w * r;
    squares += w * r * r;
  }
  mean /= sum;
  const double sd = std::sqrt(squares / sum - mean * mean);
  double found = 0;
  double limit = 0;
  for (const Draw& draw : ensemble.draws) {
    found += draw.mould_reflectance / 512;
    limit += draw.law.limit / 512;
  }
  // A share of 0.009 of prior draws is worth anything here.
  EXPECT_GE(ensemble.effective_sample_size, 200);
  const double root = std::sqrt(ensemble.effective_sample_size);
  EXPECT_NEAR(found, mean, 4 * sd / root);
  EXPECT_NEAR(limit, 0.62, 4 * 0.05 / root) << "what the fact does not speak of stays";
}

}  // namespace
}  // namespace throughcure::cure
