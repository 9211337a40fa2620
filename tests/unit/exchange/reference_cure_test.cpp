// The embedded numbers on curing, barriers and steel.
#include "throughcure/exchange/reference_cure.hpp"

#include <algorithm>

#include <gtest/gtest.h>

#include "throughcure/exchange/reference_optics.hpp"

namespace throughcure::exchange {
namespace {

TEST(ReferenceCure, IsReadWholeAndMarksWhatItIs) {
  const cure::Priors priors = reference_cure();
  EXPECT_EQ(priors.rate.exponent.value, 0.7);
  EXPECT_EQ(priors.rate.exponent.low, 0.5);
  EXPECT_EQ(priors.rate.exponent.high, 1.0);
  EXPECT_EQ(priors.rate.k_ref_per_s.value, 0.15);
  EXPECT_EQ(priors.limit.paste.sd, 0.05);
  EXPECT_EQ(priors.dark.t1_s.value, 60);
  EXPECT_EQ(priors.policy.through_cured_from.kind, base::Kind::kCommonPractice);
  EXPECT_EQ(priors.scrape.mould_diameter_mm.kind, base::Kind::kStandard);
}

// Source: Bouschlicher, Rueggeberg, Wilson 2004 (published): a hardness ratio of 0.80 goes with a ratio of conversion
// of 0.88 to 0.91.
TEST(ReferenceCure, TheCriterionMeansTheConversionThatIsPublishedForIt) {
  const cure::Priors priors = reference_cure();
  const double conversion_ratio = 1 - priors.hardness.slope.value * (1 - priors.criterion.hardness_ratio.value);
  EXPECT_GE(conversion_ratio, 0.88);
  EXPECT_LE(conversion_ratio, 0.91);
}

// cure.toml repeats the bleaching constant that follows from initiators.toml: the two must not drift apart.
TEST(ReferenceCure, BleachesAsItsInitiatorDoes) {
  const auto initiators = reference_initiators();
  const auto cq = std::ranges::find(initiators, "camphorquinone", &optics::Initiator::id);
  ASSERT_TRUE(cq != initiators.end() && cq->quantum_yield_of_loss.has_value());
  const double yield = cq->quantum_yield_of_loss.value_or(base::Sourced{}).value;
  EXPECT_NEAR(bleaching_cm2_per_j(cq->reading, yield, epsilon_at(*cq, 469), 469),
              reference_cure().rate.bleaching_cm2_per_j.value, 5e-4);
}

TEST(ReferenceBarriers, LoseMoreWhereWrinkled) {
  const auto losses = reference_barriers();
  const auto lost = [&](const std::string& name) {
    const auto found = std::ranges::find(losses, name, &BarrierLoss::name);
    return found == losses.end() ? -1.0 : found->share_lost.value;
  };
  EXPECT_GT(lost("plastic_smooth"), 0);
  EXPECT_GT(lost("plastic_wrinkled"), lost("plastic_smooth"));
  EXPECT_GT(lost("latex_wrinkled"), lost("latex_smooth"));
}

TEST(ReferenceSteel, HasTheRangeOfTheModel) {
  const SteelOptics steel = reference_steel();
  EXPECT_EQ(steel.reflectance.low, 0.3);
  EXPECT_EQ(steel.reflectance.high, 0.7);
  EXPECT_GT(steel.specular_share.value, 0.5);
}

// Sources: Oper Dent 2015, 40(3):E92 (published): eight bulk-fills gain 0.113 to 0.169 in 24 h, as points of
// conversion; network meta-analysis of 28 studies: 0.076 at the top and 0.067 at the bottom (derived from its means).
TEST(ReferenceCure, TheDarkGainHoldsWhatItsSourcesFound) {
  const base::Sourced gain = reference_cure().dark.gain;
  EXPECT_GE(gain.high.value(), 0.169);
  EXPECT_NEAR(gain.value, (0.0764 + 0.0673) / 2, 0.005);
}

TEST(ReferenceCure, ReadingsScatterMoreAcrossLaboratoriesThanWithin) {
  const cure::ReadingScatter scatter = reference_cure().readings;
  EXPECT_GT(scatter.conversion_between.value, scatter.conversion_within.value);
  EXPECT_GT(scatter.hardness_ratio_across.value, scatter.hardness_ratio_within.value);
}

}  // namespace
}  // namespace throughcure::exchange
