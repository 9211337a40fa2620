// Draws of the media worked on together against each by itself.
#include "throughcure/transport/response.hpp"

#include <cmath>

#include <gtest/gtest.h>

#include "throughcure/base/random.hpp"

namespace throughcure::transport {
namespace {

/// Hits as a deep cell has them: lengths to 60 mm, collisions to 600, shares over four decades; batch 3 is empty.
Hits random_hits(std::size_t count, std::size_t media, base::Stream& random) {
  Hits hits{.media = media, .batches = 8, .share_per_mm2 = {}, .batch = {}, .lengths_mm = {}, .collisions = {}};
  for (std::size_t h = 0; h < count; ++h) {
    hits.share_per_mm2.push_back(1e-6 * std::pow(10, -4 * random.uniform()));
    const auto batch = static_cast<std::uint32_t>(h * 8 / count);
    hits.batch.push_back(batch == 3 ? 4 : batch);
    for (std::size_t m = 0; m < media; ++m) {
      hits.lengths_mm.push_back(static_cast<float>(60 * random.uniform()));
      hits.collisions.push_back(static_cast<std::uint16_t>(600 * random.uniform()));
    }
  }
  return hits;
}

MediaChange random_change(std::size_t media, base::Stream& random) {
  MediaChange change;
  for (std::size_t m = 0; m < media; ++m) {
    const bool drawn = m != 1;
    change.mua_per_mm.push_back(drawn ? 0.1 * (random.uniform() - 0.5) : 0);
    change.mus_factor.push_back(drawn ? 0.95 + 0.1 * random.uniform() : 1);
    change.mus_per_mm.push_back(10);
  }
  return change;
}

void expect_same(const Reweighted& together, const Reweighted& alone) {
  EXPECT_NEAR(together.fluence_per_mw.value, alone.fluence_per_mw.value, 1e-5 * alone.fluence_per_mw.value);
  EXPECT_NEAR(together.fluence_per_mw.se, alone.fluence_per_mw.se, 1e-4 * alone.fluence_per_mw.se);
  EXPECT_NEAR(together.effective_share, alone.effective_share, 1e-4 * alone.effective_share);
}

TEST(DrawsTogether, AreEachWhatTheyAreAlone) {
  for (const std::size_t draws : {1U, 16U, 37U}) {
    base::Stream random(71, 0, draws);
    const Hits hits = random_hits(500, 3, random);
    std::vector<MediaChange> changes;
    changes.reserve(draws);
    for (std::size_t d = 0; d < draws; ++d) changes.push_back(random_change(3, random));
    const std::vector<Reweighted> together = reweighted(hits, changes);
    ASSERT_EQ(together.size(), draws);
    for (std::size_t d = 0; d < draws; ++d) expect_same(together[d], reweighted(hits, changes[d]));
  }
}

TEST(DrawsTogether, ADrawThatChangesNothingIsTheNominalOne) {
  base::Stream random(72, 0, 0);
  const Hits hits = random_hits(300, 2, random);
  const std::vector<MediaChange> changes = {MediaChange{}, random_change(2, random)};
  const std::vector<Reweighted> together = reweighted(hits, changes);
  EXPECT_NEAR(together[0].fluence_per_mw.value, fluence_per_mw(hits).value, 1e-6 * fluence_per_mw(hits).value);
  EXPECT_NEAR(together[0].effective_share, 1, 1e-5);
  expect_same(together[1], reweighted(hits, changes[1]));
  // None of several draws changes anything: no column is left to weigh.
  EXPECT_NEAR(reweighted(hits, std::vector<MediaChange>(3))[2].effective_share, 1, 1e-5);
}

TEST(DrawsTogether, WithoutHitsThereIsNoLight) {
  const Hits hits{.media = 2, .batches = 8, .share_per_mm2 = {}, .batch = {}, .lengths_mm = {}, .collisions = {}};
  base::Stream random(73, 0, 0);
  const std::vector<MediaChange> changes = {random_change(2, random)};
  const std::vector<Reweighted> together = reweighted(hits, changes);
  EXPECT_EQ(together[0].fluence_per_mw.value, 0);
  EXPECT_EQ(together[0].effective_share, 1);
  EXPECT_TRUE(reweighted(hits, std::vector<MediaChange>{}).empty());
}

}  // namespace
}  // namespace throughcure::transport
