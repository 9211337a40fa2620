// What to heed beside an answer.
#include "throughcure/plan/cautions.hpp"

#include <algorithm>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace throughcure::plan {
namespace {

using testing::HasSubstr;

TEST(Cautions, StandAtTheirActsTheLightsFirst) {
  const std::vector<Caution> all = cautions({});
  EXPECT_TRUE(std::ranges::is_sorted(all, {}, &Caution::act));
  EXPECT_EQ(all.front().act, Act::kLight);
  EXPECT_EQ(all.back().act, Act::kPlan);
}

TEST(Cautions, OfThePatientComeFirstAndOnlyWhereTheyAreTrue) {
  const std::size_t common = cautions({}).size();
  const std::vector<Caution> of_eyes = cautions({.photosensitive = false, .no_natural_lens = true});
  EXPECT_EQ(of_eyes.size(), common + 1);
  EXPECT_THAT(of_eyes.front().sentence, HasSubstr("no natural lens"));
  const std::vector<Caution> of_skin = cautions({.photosensitive = true, .no_natural_lens = false});
  EXPECT_EQ(of_skin.size(), common + 1);
  EXPECT_THAT(of_skin.front().sentence, HasSubstr("photosensitive"));
  EXPECT_EQ(cautions({.photosensitive = true, .no_natural_lens = true}).size(), common + 2);
}

}  // namespace
}  // namespace throughcure::plan
