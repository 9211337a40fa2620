// Draws, and draws conditioned on facts.
#include "throughcure/cure/ensemble.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include <gtest/gtest.h>

#include "throughcure/base/problem.hpp"
#include "throughcure/cure/conversion_curve.hpp"
#include "throughcure/cure/hardness.hpp"
#include "unit/cure/invented_paste.hpp"

namespace throughcure::cure {
namespace {

constexpr std::uint64_t kSeed = 4049;

template <typename Of>
double mean(const std::vector<Draw>& draws, Of of) {
  double sum = 0;
  for (const Draw& draw : draws) sum += of(draw);
  return sum / static_cast<double>(draws.size());
}
template <typename Of>
double sd(const std::vector<Draw>& draws, Of of) {
  const double middle = mean(draws, of);
  return std::sqrt(mean(draws, [&](const Draw& draw) { return std::pow(of(draw) - middle, 2); }));
}

ScrapeFact scraped(double depth_mm, double seconds, double sd_mm) {
  return {.depth_mm = depth_mm,
          .sd_mm = sd_mm,
          .exposure = {.exitance_mw_cm2 = 1000, .seconds = seconds},
          .mould = invented::mould};
}

double slope(const Draw& draw) { return draw.law.p * attenuation_per_mm(invented::mould(draw), 5); }

std::vector<Draw> prior(std::size_t count) {
  std::vector<Draw> draws;
  draws.reserve(count);
  for (std::size_t i = 0; i < count; ++i) draws.push_back(prior_draw(invented::paste(), kSeed, i));
  return draws;
}

TEST(Drawn, KeepsToItsRange) {
  const base::Sourced number{.value = 0.12, .low = 0.08, .high = 0.20};
  EXPECT_GE(drawn(number, 1e-9), 0.08);
  EXPECT_LE(drawn(number, 1 - 1e-9), 0.20);
  EXPECT_NEAR(drawn(number, 1.0 / 3), 0.12, 1e-12);  // the mode of this triangle parts it 1 : 2
  const base::Sourced normal{.value = 5, .sd = 2};
  EXPECT_NEAR(drawn(normal, 0.5), 5, 1e-12);
  EXPECT_NEAR(drawn(normal, 0.8413447), 7, 1e-5);
  EXPECT_NEAR(drawn(normal, 1e-12), -1, 1e-12);
  EXPECT_EQ(drawn({.value = 60}, 0.01), 60);
}

TEST(PriorDraw, DependsOnItsSeedAndIdAlone) {
  const Draw a = prior_draw(invented::paste(), kSeed, 7);
  const Draw b = prior_draw(invented::paste(), kSeed, 7);
  EXPECT_EQ(a.law.p, b.law.p);
  EXPECT_EQ(a.law.k_ref_per_s, b.law.k_ref_per_s);
  EXPECT_EQ(a.scattering_factor.blue, b.scattering_factor.blue);
  EXPECT_NE(a.law.p, prior_draw(invented::paste(), kSeed, 8).law.p);
  EXPECT_NE(a.law.p, prior_draw(invented::paste(), kSeed + 1, 7).law.p);
}

// Bounds: the standard error of a mean of 4096 draws, times 4 (a false alarm once in 16,000 at a random seed).
TEST(PriorDraw, SpreadsAsThePriorsSay) {
  const auto draws = prior(4096);
  const double root = std::sqrt(4096.0);
  EXPECT_NEAR(mean(draws, [](const Draw& d) { return d.law.p; }), 0.75, 4 * 0.5 / std::sqrt(12.0) / root);
  EXPECT_NEAR(mean(draws, [](const Draw& d) { return d.law.limit; }), 0.62, 4 * 0.05 / root);
  EXPECT_NEAR(sd(draws, [](const Draw& d) { return d.law.limit; }), 0.05, 4 * 0.05 / std::sqrt(2.0) / root);
  EXPECT_NEAR(mean(draws, [](const Draw& d) { return std::log(d.law.k_ref_per_s); }), std::log(0.15), 4 * 0.58 / root);
  EXPECT_NEAR(mean(draws, [](const Draw& d) { return d.reading_z; }), 0, 4 / root);
  for (const Draw& draw : draws) {
    ASSERT_GE(draw.scattering_factor.blue, 0.5);
    ASSERT_LE(draw.scattering_factor.blue, 1.75);
    ASSERT_GT(draw.absorption_factor.blue, 0.4);
    ASSERT_LT(draw.absorption_factor.blue, 3);
    ASSERT_GE(draw.law.q, 1);
  }
}

TEST(Conditioned, DrawsReproduceAnExactScrapeEveryOne) {
  Facts facts;
  facts.scrapes = {scraped(2.8, 20, 0)};
  const Ensemble ensemble = condition(invented::paste(), facts, kSeed);
  ASSERT_EQ(ensemble.draws.size(), 512U);
  EXPECT_GE(ensemble.effective_sample_size, 512);
  for (const Draw& draw : ensemble.draws) {
    ASSERT_NEAR(scraped_length_mm(draw, invented::mould(draw), facts.scrapes[0].exposure), 5.6, 1e-3);
  }
}

// The reading has an error: the draws' scrapes lie about it with just that spread. Bounds as above, for the effective
// sample size, plus what the skewed weights may move the middle.
TEST(Conditioned, DrawsReproduceAScrapeWithItsScatter) {
  Facts facts;
  facts.scrapes = {scraped(2.8, 20, 0.15)};
  const Ensemble ensemble = condition(invented::paste(), facts, kSeed);
  const ScrapedDepth again = scraped_depth(ensemble.draws, invented::mould, facts.scrapes[0].exposure, 0.5);
  EXPECT_NEAR(again.p50, 2.8, 0.04);
  EXPECT_NEAR(again.p90 - again.p10, 2 * 1.2816 * 0.15, 0.05);
}

// One series in time fixes p times the attenuation, and neither of the two. Ten exact rows are as good as a series can
// be; p stays as wide as its prior.
TEST(Conditioned, OneSeriesInTimeFixesTheProductAlone) {
  const double product = 0.75;
  Facts facts;
  for (const double seconds : {20.0, 10.0, 15.0, 40.0}) {
    facts.scrapes.push_back(scraped(2.8 + std::log(seconds / 20) / (2 * product), seconds, 0.03));
  }
  const Ensemble ensemble =
      condition(invented::paste(), facts, kSeed, {.least_effective = 400, .most_proposals = 20'480});
  const auto before = prior(2048);
  const auto p = [](const Draw& draw) { return draw.law.p; };
  const auto mu = [](const Draw& draw) { return attenuation_per_mm(invented::mould(draw), 5); };
  EXPECT_NEAR(mean(ensemble.draws, slope), product, 0.05);
  EXPECT_LT(sd(ensemble.draws, slope), 0.4 * sd(before, slope));
  EXPECT_GT(sd(ensemble.draws, p), 0.6 * sd(before, p));
  EXPECT_GT(sd(ensemble.draws, mu), 0.5 * sd(before, mu));
}

// The same said without any ensemble: two laws with one product p mu tell the same series in time, and part company
// at another irradiance.
TEST(Identifiability, EqualProductsPredictEqualSeriesInTime) {
  const auto draw_with = [](double p) {
    Draw draw;
    draw.law = nominal_law(exchange::reference_cure(), MaterialClass::kPaste);
    draw.law.bleaching_cm2_per_j = 0;
    draw.law.p = p;
    return draw;
  };
  const auto mould_with = [](double mu) {
    MouldProfile profile{.depth_mm = {0, 12}, .phi_per_exitance = {4, 4 * std::exp(-12 * mu)}};
    return profile;
  };
  Draw slow = draw_with(0.6);
  Draw even = draw_with(1.0);
  const MouldProfile steep = mould_with(0.7 / 0.6);
  const MouldProfile flat = mould_with(0.7);
  const auto solve = [](Draw& draw, const MouldProfile& profile) {
    draw.law.k_ref_per_s = 1;
    const double had = progress(draw.law, 23, 1000 * std::exp(ln_phi_per_exitance(profile, 5.6)), 20);
    draw.law.k_ref_per_s = progress_to_reach(draw.law, 23, draw.law.dark.gel) / had;
  };
  solve(slow, steep);
  solve(even, flat);
  for (const double seconds : {5.0, 10.0, 20.0, 40.0, 80.0}) {
    const TestExposure exposure{.exitance_mw_cm2 = 1000, .seconds = seconds};
    EXPECT_NEAR(scraped_length_mm(slow, steep, exposure), scraped_length_mm(even, flat, exposure), 1e-6) << seconds;
  }
  const TestExposure dim{.exitance_mw_cm2 = 500, .seconds = 20};
  EXPECT_GT(scraped_length_mm(slow, steep, dim), scraped_length_mm(even, flat, dim) + 0.3);
}

TEST(Conditioned, InstructionsAreOneSided) {
  Facts facts;
  facts.instructions = {{.depth_mm = 3.5,
                         .allowed_below_mm = 0.5,
                         .sd_mm = 0.15,
                         .exposure = {.exitance_mw_cm2 = 1000, .seconds = 20},
                         .mould = invented::mould}};
  const Ensemble deep = condition(invented::paste(), facts, kSeed);
  facts.instructions[0].depth_mm = 1;
  const Ensemble shallow = condition(invented::paste(), facts, kSeed);
  const auto depth = [&](const Ensemble& ensemble) {
    return scraped_depth(ensemble.draws, invented::mould, facts.instructions[0].exposure, 0.5);
  };
  EXPECT_GT(depth(deep).p10, 2.9);
  // A claim of 1 mm that any draw meets says nothing.
  const ScrapedDepth unclaimed = scraped_depth(prior(512), invented::mould, facts.instructions[0].exposure, 0.5);
  EXPECT_NEAR(depth(shallow).p50, unclaimed.p50, 0.1);
}

TEST(Conditioned, ATransmissionNarrowsTheOptics) {
  const auto transmitted = [](const Draw& draw) { return std::exp(ln_phi_per_exitance(invented::mould(draw), 2)) / 4; };
  Facts facts;
  facts.scrapes = {scraped(2.8, 20, 0)};
  const Ensemble without = condition(invented::paste(), facts, kSeed);
  facts.discs = {{.fraction = 0.2, .sd_relative = 0.05, .predicted = transmitted}};
  const Ensemble with = condition(invented::paste(), facts, kSeed);
  EXPECT_NEAR(mean(with.draws, transmitted), 0.2, 0.005);
  EXPECT_LT(sd(with.draws, transmitted), 0.4 * sd(without.draws, transmitted));
}

TEST(Conditioned, TheSlopeOfPublishedSeriesCountsWhereItIsAskedFor) {
  Facts facts;
  facts.scrapes = {scraped(2.8, 20, 0)};
  const Ensemble without = condition(invented::paste(), facts, kSeed);
  facts.slope = slope_prior(invented::paste().priors, MaterialClass::kPaste);
  const Ensemble with = condition(invented::paste(), facts, kSeed);
  EXPECT_LT(sd(with.draws, slope), sd(without.draws, slope));
  EXPECT_NEAR(slope_prior(invented::paste().priors, MaterialClass::kBulkFill).value, 0.525, 1e-12);
}

/// Hardness at half the scraped length by that at the top, a day later.
double hardness_at_scrape(const Draw& draw, const TestExposure& exposure) {
  const MouldProfile profile = invented::mould(draw);
  const ConversionCurve curve(draw.law, exposure.temperature_c);
  const auto x = [&](double depth_mm) {
    const double phi = exposure.exitance_mw_cm2 * std::exp(ln_phi_per_exitance(profile, depth_mm));
    return after_dark(draw.law.dark, curve.at(progress(draw.law, exposure.temperature_c, phi, exposure.seconds)),
                      kDay_s);
  };
  return hardness_ratio(x(scraped_length_mm(draw, profile, exposure) / 2) / x(0), 0.525);
}

// Source: Moore et al. 2008, Oper Dent 33:408-412 (published): 55 to 70 % of the top's hardness at the scraped depth.
TEST(Conditioned, TheScrapedDepthIsAsHardAsWasFound) {
  Facts facts;
  facts.scrapes = {scraped(2.8, 20, 0)};
  const auto middle = [&](const Ensemble& ensemble) {
    return mean(ensemble.draws, [&](const Draw& d) { return hardness_at_scrape(d, facts.scrapes[0].exposure); });
  };
  const double without = middle(condition(invented::paste(), facts, kSeed));
  facts.hardness = hardness_fact(invented::paste().priors, facts.scrapes[0].exposure, invented::mould);
  const Ensemble with = condition(invented::paste(), facts, kSeed);
  EXPECT_GT(without, 0.70) << "the priors alone have it harder";
  EXPECT_GT(middle(with), 0.55);
  EXPECT_LT(middle(with), 0.72);
  EXPECT_LT(sd(with.draws, [&](const Draw& d) { return hardness_at_scrape(d, facts.scrapes[0].exposure); }), 0.07);
}

// Priors of a class that would have it cure deeper or shallower do not move a reading: k_ref is put tenfold off here.
TEST(Conditioned, ThePriorsOfTheClassDoNotMoveTheReading) {
  for (const double factor : {0.1, 10.0}) {
    DrawSource source = invented::paste();
    base::Sourced& k = source.priors.rate.k_ref_per_s;
    k = {.value = factor * k.value, .low = factor * *k.low, .high = factor * *k.high};
    Facts facts;
    facts.scrapes = {scraped(2.8, 20, 0.15)};
    const Ensemble ensemble = condition(source, facts, kSeed);
    const ScrapedDepth again = scraped_depth(ensemble.draws, invented::mould, facts.scrapes[0].exposure, 0.5);
    EXPECT_NEAR(again.p50, 2.8, 0.05) << factor;
  }
}

// Two readings of one test that disagree meet half way: what other facts say of the first reading still counts.
TEST(Conditioned, AnotherReadingMovesTheFirst) {
  Facts facts;
  facts.scrapes = {scraped(2.7, 20, 0.15), scraped(3.0, 20, 0.15)};
  const Ensemble ensemble = condition(invented::paste(), facts, kSeed);
  const ScrapedDepth again = scraped_depth(ensemble.draws, invented::mould, facts.scrapes[0].exposure, 0.5);
  EXPECT_NEAR(again.p50, 2.85, 0.03);
  EXPECT_NEAR(again.p90 - again.p10, 2 * 1.2816 * 0.15 / std::sqrt(2.0), 0.05);
}

TEST(Conditioned, IsTheSameForAnyNumberOfThreads) {
  Facts facts;
  facts.scrapes = {scraped(2.8, 20, 0.15)};
  const Ensemble one = condition(invented::paste(), facts, kSeed, {}, {.threads = 1});
  const Ensemble three = condition(invented::paste(), facts, kSeed, {}, {.threads = 3});
  ASSERT_EQ(one.proposals, three.proposals);
  EXPECT_EQ(one.effective_sample_size, three.effective_sample_size);
  for (std::size_t i = 0; i < one.draws.size(); ++i) {
    ASSERT_EQ(one.draws[i].id, three.draws[i].id);
    ASSERT_EQ(one.draws[i].law.k_ref_per_s, three.draws[i].law.k_ref_per_s);
  }
}

TEST(Conditioned, RefusesWhatNoDrawCanMeet) {
  Facts facts;
  facts.scrapes = {scraped(2.8, 0, 0)};  // nothing cures in no time
  EXPECT_THROW(condition(invented::paste(), facts, kSeed, {.most_proposals = 512}), base::InputError);
  facts.scrapes = {scraped(6, 20, 0)};  // 12 mm in a mould of 10
  EXPECT_THROW(condition(invented::paste(), facts, kSeed, {.most_proposals = 512}), base::InputError);
}

}  // namespace
}  // namespace throughcure::cure
