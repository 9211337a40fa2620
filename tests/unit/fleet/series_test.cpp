// Which readings may be compared, which do not count, and how two radiometers are linked. Outside: the guide's own
// formulas for a mean (GUM 4.2) and Student's t from Boost.
#include "throughcure/fleet/series.hpp"

#include <cmath>
#include <optional>
#include <vector>

#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <gtest/gtest.h>

#include "throughcure/base/problem.hpp"
#include "throughcure/fleet/radiometer_link.hpp"
#include "throughcure/fleet/scatter.hpp"

namespace throughcure::fleet {
namespace {

base::Instant day(double days) { return {static_cast<std::int64_t>(days * 86'400e6)}; }
const base::Instant kNow = day(1000);

LightHistory history() {
  return {.claimed_mw_cm2 = 1000,
          .radiometers = {{.aperture_mm = 12}, {.aperture_mm = 8}},
          .tips = {{.diameter_mm = 8}, {.diameter_mm = 10}}};
}

/// Numbered in the order in which they are added.
LightReading& add(LightHistory& to, double at, double shown) {
  const auto number = static_cast<std::int64_t>(to.readings.size()) + 1;
  return to.readings.emplace_back(LightReading{.id = {number}, .at = day(at), .shown_mw_cm2 = shown});
}

TEST(Series, AreOfOneTipOneRadiometerAndOneMode) {
  LightHistory light = history();
  add(light, 1, 800);
  add(light, 2, 600).radiometer = 1;
  add(light, 3, 780);  // back on the first: the same series
  add(light, 4, 700).tip = 1;
  add(light, 5, 400).mode = 1;
  const SeriesSplit split = split_series(light, kNow);
  ASSERT_EQ(split.series.size(), 4U);
  ASSERT_EQ(split.series[0].points.size(), 2U);
  EXPECT_EQ(split.series[0].baseline_mw_cm2, 800);
  EXPECT_EQ(split.series[0].points[1].share, 0.975);
  EXPECT_EQ(split.series[0].points[1].id.number, 3);
  EXPECT_EQ(split.series[1].radiometer, 1U);
  EXPECT_EQ(split.series[2].tip, 1U);
  EXPECT_EQ(split.series[3].mode, 1U);
  for (const Series& series : split.series) EXPECT_EQ(series.points.front().share, 1);
}

TEST(Series, AReplacedTipStartsANewOneAndARepairDoesNot) {
  LightHistory light = history();
  for (const double at : {1, 2, 11, 12, 21}) add(light, at, at > 10 ? 900 : 800);
  light.services = {{.at = day(20), .what = Deed::kRepaired}, {.at = day(10), .what = Deed::kTipReplaced}};
  const SeriesSplit split = split_series(light, kNow);
  ASSERT_EQ(split.series.size(), 2U);
  EXPECT_EQ(split.series[0].points.size(), 2U);
  EXPECT_EQ(split.series[1].points.size(), 3U);
  EXPECT_EQ(split.series[1].baseline_mw_cm2, 900);
}

TEST(Series, ARepairThatMadeALightFitToBeAcceptedStartsANewOne) {
  LightHistory light = history();
  for (const double at : {1, 2, 11, 12}) add(light, at, at > 10 ? 900 : 400);
  light.services = {{.at = day(10), .what = Deed::kRepaired}};
  light.mended_at = day(10);
  const SeriesSplit split = split_series(light, kNow);
  ASSERT_EQ(split.series.size(), 2U);
  EXPECT_EQ(split.series[0].baseline_mw_cm2, 400);
  EXPECT_EQ(split.series[1].baseline_mw_cm2, 900);
}

TEST(Series, TheBaselineMayBeAMean) {
  LightHistory light = history();
  double at = 0;
  for (const double shown : {780.0, 800.0, 820.0, 760.0}) add(light, ++at, shown);
  const Series mean = split_series(light, kNow, {.baseline_of = 3}).series.at(0);
  EXPECT_EQ(mean.baseline_mw_cm2, 800);
  EXPECT_EQ(mean.baseline_of, 3U);
  EXPECT_EQ(mean.points[3].share, 0.95);
  EXPECT_EQ(split_series(light, day(2), {.baseline_of = 3}).series.at(0).baseline_of, 2U);
}

TEST(Series, ABarrierIsDividedOutAndMarked) {
  LightHistory light = history();
  add(light, 1, 800);
  LightReading& known = add(light, 2, 744);
  known.barrier_on = true;
  known.barrier = BarrierFactor{.passes = 0.93, .sd = 0.0093};
  add(light, 3, 720).barrier_on = true;
  const Series series = split_series(light, kNow).series.at(0);
  EXPECT_FALSE(series.points[0].barrier_on);
  EXPECT_EQ(series.points[0].ln_factor_sd, 0);
  EXPECT_TRUE(series.points[1].barrier_on);
  EXPECT_NEAR(series.points[1].share, 1, 1e-12);
  EXPECT_NEAR(series.points[1].ln_factor_sd, 0.01, 1e-12);
  EXPECT_NEAR(series.points[2].share, 1, 1e-12) << "one that nothing is known of: 0.90 +- 0.06";
  EXPECT_NEAR(series.points[2].ln_factor_sd, 0.06 / 0.90, 1e-12);
}

TEST(Series, WhatDoesNotCountIsToldApartWithTheReason) {
  LightHistory light = history();
  add(light, 1, 800);
  add(light, 2, 700).tip_clean = false;
  LightReading& before = add(light, 3, 700);
  before.purpose = Purpose::kBeforeCleaning;
  before.tip_clean = false;
  add(light, 4, 700).purpose = Purpose::kLowBattery;
  add(light, 5, 700).battery = 0.29;
  add(light, 6, 0);
  add(light, 7, 700).tip = 2;
  add(light, 8, 790).battery = 0.3;
  add(light, 9, 805).purpose = Purpose::kAfterCleaning;
  add(light, 2000, 805);
  const SeriesSplit split = split_series(light, kNow);
  ASSERT_EQ(split.series.size(), 1U);
  EXPECT_EQ(split.series[0].points.size(), 3U);
  ASSERT_EQ(split.uncounted.size(), 6U);
  const auto why = [&](std::size_t i) { return std::pair(split.uncounted[i].id.number, split.uncounted[i].why); };
  EXPECT_EQ(why(0), std::pair(std::int64_t{2}, NotCounted::kTipNotClean));
  EXPECT_EQ(why(1), std::pair(std::int64_t{3}, NotCounted::kBeforeCleaning));
  EXPECT_EQ(why(2), std::pair(std::int64_t{4}, NotCounted::kLowBattery));
  EXPECT_EQ(why(3), std::pair(std::int64_t{5}, NotCounted::kLowBattery));
  EXPECT_EQ(why(4), std::pair(std::int64_t{6}, NotCounted::kNothingShown));
  EXPECT_EQ(why(5), std::pair(std::int64_t{7}, NotCounted::kUnknownPart));
  EXPECT_EQ(word(NotCounted::kBeforeCleaning), "before_cleaning");
}

TEST(Series, WhatASeamTakesIsNotKnownSoThatItDoesNotCount) {
  LightHistory light = history();
  add(light, 1, 800);
  const auto covered = [&](double at, std::optional<bool> smooth) {
    LightReading& reading = add(light, at, 700);
    reading.barrier_on = true;
    reading.barrier_smooth = smooth;
  };
  covered(2, true);
  covered(3, std::nullopt);  // nobody looked
  covered(4, false);
  add(light, 5, 790).barrier_smooth = false;  // none was on
  const SeriesSplit split = split_series(light, kNow);
  ASSERT_EQ(split.series.size(), 1U);
  EXPECT_EQ(split.series[0].points.size(), 4U);
  ASSERT_EQ(split.uncounted.size(), 1U);
  EXPECT_EQ(split.uncounted[0].id.number, 4);
  EXPECT_EQ(split.uncounted[0].why, NotCounted::kBarrierNotSmooth);
}

TEST(Series, WhatDoesNotCountIsPlacedWithItsOwnTip) {
  LightHistory light = history();
  const auto dirty = [&](double at, std::size_t radiometer) {
    LightReading& reading = add(light, at, 700);
    reading.tip_clean = false;
    reading.radiometer = radiometer;
  };
  dirty(1, 0);  // before the first that counts
  add(light, 2, 800);
  dirty(3, 0);
  dirty(4, 1);  // nothing on this radiometer counts
  dirty(11, 0);
  add(light, 12, 900);
  dirty(13, 0);
  dirty(21, 0);  // nothing of the third tip counts yet
  light.services = {{.at = day(10), .what = Deed::kTipReplaced}, {.at = day(20), .what = Deed::kTipReplaced}};
  const SeriesSplit split = split_series(light, kNow);
  ASSERT_EQ(split.series.size(), 2U);
  std::vector<std::optional<std::size_t>> placed;
  placed.reserve(split.uncounted.size());
  for (const Uncounted& one : split.uncounted) placed.push_back(one.series);
  const std::vector<std::optional<std::size_t>> wanted = {0U, 0U, std::nullopt, 1U, 1U, std::nullopt};
  EXPECT_EQ(placed, wanted);
}

TEST(Series, TheOrderInWhichReadingsComeDoesNotMatter) {
  LightHistory light = history();
  add(light, 3, 780);
  add(light, 1, 800);
  add(light, 1, 790);
  const Series series = split_series(light, kNow).series.at(0);
  EXPECT_EQ(series.baseline_mw_cm2, 800) << "of two at one instant the one with the lower number is first";
  EXPECT_EQ(series.points.back().share, 0.975);
}

/// Pairs on radiometers 0 and 1 with these ratios, a day apart.
LightHistory paired(const std::vector<double>& ratios) {
  LightHistory light = history();
  for (std::size_t i = 0; i < ratios.size(); ++i) {
    const auto at = static_cast<double>(i);
    add(light, at, 800).purpose = Purpose::kSideBySide;
    LightReading& second = add(light, at + 0.01, 800 * ratios[i]);
    second.purpose = Purpose::kSideBySide;
    second.radiometer = 1;
  }
  return light;
}

TEST(RadiometerLink, IsTheMeanOfLogarithmsWithTheGuidesUncertainty) {
  const std::vector<double> ratios = {1.18, 1.22, 1.20, 1.25, 1.17};
  const LightHistory light = paired(ratios);
  const auto pairs = side_by_side(light, 0, 1, 0, 0);
  ASSERT_EQ(pairs.size(), 5U);
  // Without a prior: GUM 4.2.3, s / sqrt(n) with n - 1 degrees of freedom.
  const auto link = link_radiometers(light, pairs, {.scatter = {.sd = 0, .weight = 0}});
  ASSERT_TRUE(link);
  double mean = 0;
  for (const double ratio : ratios) mean += std::log(ratio) / 5;
  double squares = 0;
  for (const double ratio : ratios) squares += std::pow(std::log(ratio) - mean, 2);
  const double u = std::sqrt(squares / 4 / 5);
  EXPECT_NEAR(std::log(link->factor), mean, 1e-12);
  EXPECT_NEAR(link->ln_u, u, 1e-12);
  EXPECT_NEAR(link->effective_dof, 4, 1e-9);
  EXPECT_NEAR(std::log(link->high), mean + 2.776445 * u, 1e-6) << "t of 4 degrees of freedom (published tables)";
  EXPECT_EQ(link->pairs, 5U);
}

TEST(RadiometerLink, OnePairHasThePriorsScatter) {
  const LightHistory light = paired({1.2});
  const auto link = link_radiometers(light, side_by_side(light, 0, 1, 0, 0));
  ASSERT_TRUE(link);
  EXPECT_NEAR(link->ln_u, std::sqrt(2.0) * 0.03, 1e-12);
  EXPECT_FALSE(link_radiometers(light, {}).has_value());
}

TEST(RadiometerLink, ABarrierOnOneSideDoesNotAverageOut) {
  LightHistory light = paired(std::vector<double>(50, 1.2));
  for (LightReading& reading : light.readings) {
    if (reading.radiometer != 1) continue;
    reading.barrier_on = true;
    reading.barrier = BarrierFactor{.passes = 0.9, .sd = 0.045};
  }
  const auto link = link_radiometers(light, side_by_side(light, 0, 1, 0, 0));
  ASSERT_TRUE(link);
  EXPECT_NEAR(link->factor, 1.2 / 0.9, 1e-12);
  EXPECT_GT(link->ln_u, 0.05);
  EXPECT_LT(link->ln_u, 0.051);
}

TEST(RadiometerLink, PairsAreNearInTimeAndUsedOnce) {
  LightHistory light = history();
  const auto side = [&](double at, std::size_t radiometer) {
    LightReading& reading = add(light, at, 800);
    reading.purpose = Purpose::kSideBySide;
    reading.radiometer = radiometer;
  };
  side(1, 0);
  side(1.001, 1);
  side(1.002, 1);  // nobody left for it
  side(5, 0);
  side(5.5, 1);  // half a day later: no pair
  side(9, 0);
  light.readings.back().tip = 1;
  side(9, 1);
  const auto pairs = side_by_side(light, 0, 1, 0, 0);
  ASSERT_EQ(pairs.size(), 1U);
  EXPECT_EQ(pairs[0].second, 1U);
}

TEST(RadiometerLink, EachTwoRadiometersOfATipAndModeHaveTheirOwn) {
  LightHistory light = history();
  light.radiometers.push_back({.aperture_mm = 10});
  const auto side = [&](double at, double shown, std::size_t radiometer, std::size_t tip) {
    LightReading& reading = add(light, at, shown);
    reading.purpose = Purpose::kSideBySide;
    reading.radiometer = radiometer;
    reading.tip = tip;
  };
  side(1, 800, 1, 0);
  side(1.001, 400, 2, 0);
  side(2, 500, 0, 0);  // read alone
  side(3, 900, 0, 1);
  side(3.001, 300, 2, 1);
  add(light, 4, 800).radiometer = 1;  // no reading side by side
  add(light, 4.001, 700).radiometer = 0;
  const auto links = radiometer_links(light);
  ASSERT_EQ(links.size(), 2U);
  EXPECT_EQ(links[0].from, 1U) << "the first that was read";
  EXPECT_EQ(links[0].to, 2U);
  EXPECT_EQ(links[0].tip, 0U);
  EXPECT_NEAR(links[0].factor, 0.5, 1e-12);
  EXPECT_EQ(links[1].from, 0U);
  EXPECT_EQ(links[1].to, 2U);
  EXPECT_EQ(links[1].tip, 1U);
  EXPECT_NEAR(links[1].factor, 1.0 / 3, 1e-12);
  EXPECT_TRUE(radiometer_links(history()).empty());
}

TEST(RadiometerLink, ASeriesGoesOnAcrossAChange) {
  LightHistory light = paired({1.25, 1.25, 1.25, 1.25});
  add(light, 10, 1000 * 0.9).radiometer = 1;
  const SeriesSplit split = split_series(light, kNow);
  const auto link = link_radiometers(light, side_by_side(light, 0, 1, 0, 0));
  ASSERT_TRUE(link);
  const Series joined = go_on(split.series[0], split.series[1], *link);
  EXPECT_EQ(joined.came_in, std::vector<std::size_t>{4});
  EXPECT_NEAR(joined.points.back().share, 0.9, 1e-9);
  EXPECT_NEAR(joined.points.back().ln_factor_sd, link->ln_u, 1e-12);
  EXPECT_EQ(joined.points.front().ln_factor_sd, 0);
  EXPECT_THROW(go_on(split.series[1], split.series[0], *link), base::Failure);
}

TEST(Scatter, ThePriorGivesWay) {
  EXPECT_NEAR(scatter_of(0, 0).sd, 0.03, 1e-12);
  EXPECT_NEAR(scatter_of(8 * 0.06 * 0.06, 8).sd, std::sqrt((0.03 * 0.03 + 0.06 * 0.06) / 2), 1e-12);
  EXPECT_NEAR(scatter_of(1000 * 0.06 * 0.06, 1000).sd, 0.06, 3e-4);
}

TEST(Scatter, NormalFromTIsBoosts) {
  for (const double dof : {8.0, 12.0, 30.0, 300.0}) {
    for (int quarter = -24; quarter <= 24; ++quarter) {
      const double t = 0.25 * quarter;
      const double exact =
          t > 0 ? -boost::math::quantile(boost::math::normal(),
                                         boost::math::cdf(complement(boost::math::students_t(dof), t)))
                : boost::math::quantile(boost::math::normal(), boost::math::cdf(boost::math::students_t(dof), t));
      EXPECT_NEAR(normal_from_t(t, dof), exact, 0.014) << t << " of " << dof;
    }
  }
}

}  // namespace
}  // namespace throughcure::fleet
