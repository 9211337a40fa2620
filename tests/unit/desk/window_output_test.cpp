// Chances and intervals of a look-back's days. Outside: the sum over every day on which a step may have come, each by
// the normal distribution of that day alone (the smoother's own, which is tested against plain conditioning), worked
// out here without the mixture's means and spreads. Everything is invented.
#include "throughcure/desk/window_output.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include <gtest/gtest.h>

namespace throughcure::desk {
namespace {

base::Instant day(double days) { return {static_cast<std::int64_t>(days * 86'400e6)}; }

/// Read weekly until day 100, perhaps on day 118, and far too low on day 140.
LightView failed(bool read_between) {
  LightView view;
  fleet::LightHistory& history = view.record.history;
  history = {.accepted_at = day(0), .claimed_mw_cm2 = 1000};
  history.radiometers = {{.aperture_mm = 8}};
  history.tips = {{.diameter_mm = 8}};
  const auto read = [&](double at, double shown) {
    history.readings.push_back(
        {.id = {static_cast<std::int64_t>(history.readings.size()) + 1},
         .at = day(at),
         .shown_mw_cm2 = shown,
         .purpose = history.readings.empty() ? fleet::Purpose::kAcceptance : fleet::Purpose::kCheck});
  };
  for (int week = 0; week <= 14; ++week) read(7 * week, 900);
  read(100, 900);
  if (read_between) read(118, 860);
  for (int i = 0; i < 3; ++i) read(140, 430);
  view.output = fleet::light_output(history, day(140));
  return view;
}
constexpr double kFrom = 100;
constexpr double kUntil = 140;

double exact_chance_below(const fleet::OutputSmoother& smoother, double ln_limit, std::size_t on) {
  const auto below = [&](const fleet::SmoothedDays& days) {
    return 0.5 * std::erfc((days.ln_mean[on] - ln_limit) / days.ln_sd[on] / std::numbers::sqrt2);
  };
  const fleet::SmoothedOutput& all = smoother.smoothed();
  double chance = (1 - all.step_weight) * below(all.gradual);
  for (std::size_t d = 1; d <= all.last_day; ++d) {
    chance += all.step_weight * all.step_day[d] * below(smoother.given_step_on(d));
  }
  return chance;
}

TEST(WindowOutput, ChancesAreTheSumOverEveryDayOfAStepAndADecline) {
  const LightView view = failed(false);
  const WindowOutput output(view, {day(kFrom), day(kUntil)}, {});
  const fleet::OutputSmoother smoother(fleet::output_known(view.record.history, view.output.split, {}), day(kFrom),
                                       day(kUntil));
  ASSERT_GT(smoother.smoothed().step_weight, 0.05) << "both alternatives are to be seen";
  ASSERT_LT(smoother.smoothed().step_weight, 0.95);
  double most_of_one_gaussian = 0;
  for (std::size_t on = 0; on <= 40; ++on) {
    const base::Instant when = day(kFrom + static_cast<double>(on));
    const OutputThen one = output.at(when);
    for (const double limit : {300.0, 400.0, 500.0, 600.0, 700.0, 800.0, 900.0, 1000.0}) {
      const double exact = exact_chance_below(smoother, std::log(limit), on);
      EXPECT_NEAR(output.chance_below(limit, when), exact, 0.01) << limit << " on " << on;
      const double of_one = 0.5 * std::erfc((one.ln_mean - std::log(limit)) / one.ln_sd / std::numbers::sqrt2);
      most_of_one_gaussian = std::max(most_of_one_gaussian, std::abs(of_one - exact));
    }
    const fleet::OutputSpread spread = output.spread(when);
    EXPECT_NEAR(exact_chance_below(smoother, std::log(spread.p10), on), 0.1, 0.01) << on;
    EXPECT_NEAR(exact_chance_below(smoother, std::log(spread.p50), on), 0.5, 0.01) << on;
    EXPECT_NEAR(exact_chance_below(smoother, std::log(spread.p90), on), 0.9, 0.01) << on;
    double weights = 0;
    for (const OutputAlternative& alternative : output.alternatives(when)) weights += alternative.weight;
    EXPECT_NEAR(weights, 1, 1e-12);
  }
  EXPECT_GT(most_of_one_gaussian, 0.05) << "or the test could not tell one Gaussian from the mixture";
}

TEST(WindowOutput, IsDrawnDayByDayWithAStepAsAStep) {
  const WindowOutput output(failed(true), {day(kFrom), day(kUntil)}, {});
  const std::vector<CoursePoint> course = output.course(day(0));
  ASSERT_EQ(course.size(), 41U);
  EXPECT_EQ(course.front().at, day(kFrom));
  EXPECT_EQ(course.back().at, day(kUntil));
  const StepTime when = output.step_time().value_or(StepTime{});
  EXPECT_GT(when.early, day(118)) << "the reading of that day was near the ones before";
  EXPECT_LE(when.early, when.middle);
  EXPECT_LE(when.middle, when.late);
  for (std::size_t i = 1; i < course.size(); ++i) {
    EXPECT_LT(course[i].output.p10, course[i].output.p50);
    EXPECT_LT(course[i].output.p50, course[i].output.p90);
    const double fell = course[i].step.value_or(0) / course[i - 1].step.value_or(1);
    if (course[i].at == when.middle) {
      EXPECT_LT(fell, 0.7);
    } else {
      EXPECT_NEAR(fell, 1, 0.02) << i;
    }
    EXPECT_GT(course[i].decline.value_or(0) / course[i - 1].decline.value_or(1), 0.9) << i;
  }
}

TEST(WindowOutput, OfYearsIsDrawnByFewerDaysAndTheStepStillIsOne) {
  LightView view = failed(true);
  view.record.history.readings.resize(1);
  view.record.history.readings.push_back({.id = {2}, .at = day(1100), .shown_mw_cm2 = 430});
  view.output = fleet::light_output(view.record.history, day(1100));
  const WindowOutput output(view, {day(0), day(1100)}, {});
  const std::vector<CoursePoint> course = output.course(day(0));
  EXPECT_LT(course.size(), 205U);
  const base::Instant stepped = output.step_time().value_or(StepTime{}).middle;
  const auto at = std::ranges::find(course, stepped, &CoursePoint::at);
  ASSERT_NE(at, course.end());
  EXPECT_EQ(std::prev(at)->at, stepped + -std::chrono::hours(24));
  EXPECT_LT(at->step.value_or(1) / std::prev(at)->step.value_or(1), 0.8);
}

TEST(WindowOutput, WithoutAGoodCheckIsTheEstimateOfTheDay) {
  const LightView view = failed(true);
  const WindowOutput output(view, {std::nullopt, day(kUntil)}, {});
  const auto known = fleet::output_known(view.record.history, view.output.split, {});
  const fleet::OutputEstimate estimate(known, day(110));
  EXPECT_NEAR(output.chance_below(800, day(110)), estimate.chance_below(800, day(110)), 1e-9);
  EXPECT_NEAR(output.spread(day(110)).p10, estimate.at(day(110)).p10, 1e-6);
  EXPECT_EQ(output.alternatives(day(110)).size(), 1U);
  EXPECT_FALSE(output.step_weight());
  const std::vector<CoursePoint> course = output.course(day(90));
  ASSERT_EQ(course.size(), 51U);
  EXPECT_NEAR(course[20].output.p90, estimate.at(day(110)).p90, 1e-6);
  EXPECT_FALSE(course[20].step);
}

TEST(WindowOutput, WhetherACheckWouldHaveFailedIsKnownFarBetterThanWhatTheLightGave) {
  const LightView view = failed(true);
  ASSERT_EQ(view.output.as_shown_in.size(), 1U);
  const WindowOutput output(view, {day(kFrom), day(kUntil)}, view.output.as_shown_in[0]);
  // On the good day 900 was shown for the 17th time: the scatter of one reading, 3 %, is the most that is in doubt. Of
  // the exitance the doubt is the claim's 15 % and the radiometer's 20 %, joined: 12 %.
  EXPECT_LT(output.chance_below(800, day(kFrom)), 0.001);
  EXPECT_GT(output.chance_below(880, day(kFrom)), 0.001);
  EXPECT_NEAR(output.spread(day(kFrom)).ln_sd, 0.12, 0.01);
  // At the failure 430 was shown three times.
  EXPECT_GT(output.chance_below(500, day(kUntil)), 0.999);
  EXPECT_LT(output.chance_below(400, day(kUntil)), 0.05);
  const std::vector<CoursePoint> course = output.course(day(0));
  EXPECT_NEAR(course.front().output.p50, 900, 10) << "drawn where the readings are";
  EXPECT_NEAR(course.back().output.p50, 430, 20);
  EXPECT_LT(course.front().output.ln_sd, 0.03);
  // What cured is the exitance still.
  const WindowOutput plain(view, {day(kFrom), day(kUntil)}, {});
  for (const double when : {100.0, 111.0, 120.0, 139.0}) {
    EXPECT_EQ(output.at(day(when)).ln_mean, plain.at(day(when)).ln_mean);
    EXPECT_EQ(output.at(day(when)).ln_sd, plain.at(day(when)).ln_sd);
  }
}

TEST(WindowOutput, WhatARadiometerMayBeOffBySinceItsCertificateRanOutDoesNotBlurWhatItShowedBefore) {
  LightView view = failed(false);
  view.record.history.radiometers[0].calibrations = {{.from = day(-10), .until = day(120), .expanded = 0.1}};
  view.output = fleet::light_output(view.record.history, day(kUntil));
  ASSERT_EQ(view.output.as_shown_in[0].size(), 2U) << "the failing readings are of another kind";
  const WindowOutput output(view, {day(kFrom), day(kUntil)}, view.output.as_shown_in[0]);
  EXPECT_LT(output.chance_below(800, day(kFrom)), 0.001) << "900 was shown for the 17th time";
  EXPECT_GT(output.chance_below(500, day(kUntil)), 0.999) << "430 was shown three times";
  // The last kind alone would say that neither is known so well: the doubt is whether light or radiometer changed.
  const WindowOutput of_last(view, {day(kFrom), day(kUntil)}, {view.output.as_shown_in[0].back()});
  EXPECT_GT(of_last.chance_below(800, day(kFrom)), 0.02);
}

}  // namespace
}  // namespace throughcure::desk
