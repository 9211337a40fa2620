// One light's page: what it gives today, where it is going, what raised an alarm. The lights are invented and fail in
// ways that the estimate does not assume; their intervals are counted.
#include "throughcure/fleet/light_output.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

#include <gtest/gtest.h>

#include "invented_lights.hpp"
#include "throughcure/base/problem.hpp"

namespace throughcure::fleet {
namespace {

using invented::day;
using invented::Failing;

LightHistory history() {
  return {.claimed_mw_cm2 = 1000,
          .radiometers = {{.aperture_mm = 8, .spectral_class = SpectralClass::kBroad}},
          .tips = {{.diameter_mm = 8}}};
}

LightReading& add(LightHistory& to, double at, double shown) {
  const auto number = static_cast<std::int64_t>(to.readings.size()) + 1;
  return to.readings.emplace_back(
      LightReading{.id = {number}, .at = day(at), .shown_mw_cm2 = shown, .second_of_press = 10});
}

TEST(LightOutput, WithoutReadingsItIsTheClaimAndWithoutAClaimTheSurvey) {
  const LightOutput claimed = light_output(history(), day(0));
  EXPECT_NEAR(claimed.today.p50, 1000, 1e-9);
  ASSERT_TRUE(claimed.share_of_claim);
  EXPECT_NEAR(claimed.share_of_claim->p50, 1, 1e-12);
  EXPECT_FALSE(claimed.days_since_reading);
  EXPECT_FALSE(claimed.alarm_stands);
  LightHistory unclaimed = history();
  unclaimed.claimed_mw_cm2 = std::nullopt;
  const LightOutput survey = light_output(unclaimed, day(0));
  EXPECT_NEAR(survey.today.p50, 870, 1e-9);
  EXPECT_NEAR(survey.today.ln_sd, 0.5, 1e-12);
  EXPECT_FALSE(survey.share_of_claim);
  unclaimed.claimed_mw_cm2 = 0;
  EXPECT_THROW(light_output(unclaimed, day(0)), base::InputError);
}

TEST(LightOutput, ACertificateIsBelievedMoreThanAMaker) {
  LightHistory light = history();
  const double maker = light_output(light, day(0)).today.ln_sd;
  light.claim = ClaimKind::kCertificate;
  EXPECT_LT(light_output(light, day(0)).today.ln_sd, 0.5 * maker);
  // And a radiometer with a certificate more than one without.
  for (int i = 0; i < 10; ++i) add(light, 7 * i, 800);
  light.claim = ClaimKind::kMaker;
  const OutputSpread without = light_output(light, day(63)).today;
  light.radiometers[0].calibrations = {{.from = day(-10), .until = day(300), .expanded = 0.08}};
  const OutputSpread with = light_output(light, day(63)).today;
  EXPECT_LT(with.ln_sd, 0.7 * without.ln_sd);
  EXPECT_LT(with.p50, without.p50) << "800 shown is believed sooner than 1000 claimed";
}

TEST(LightOutput, FirstReadingsSayOfTheClaimWhatTheyShow) {
  LightHistory light = history();
  EXPECT_FALSE(share_of_claim_by_readings(light, day(0))) << "nothing was read";
  for (int i = 0; i < 3; ++i) add(light, i, 600);
  add(light, 30, 300);
  const auto share = share_of_claim_by_readings(light, day(10));
  ASSERT_TRUE(share);
  EXPECT_NEAR(share->p50, 0.6, 0.001) << "the claim is not believed beforehand, and later readings say nothing";
  // The radiometer's 20 % with 3 % for its spectrum, and a scatter of 3 % over three readings, less what it drifts.
  EXPECT_NEAR(std::log(share->p90 / share->p50), 1.2816 * std::hypot(0.2, 0.03, 0.03 / std::sqrt(3.0)), 0.003);
  EXPECT_GT(light_output(light, day(10)).share_of_claim->p50, 0.75) << "today's estimate believes it";
  light.claimed_mw_cm2.reset();
  EXPECT_FALSE(share_of_claim_by_readings(light, day(10)));
}

TEST(LightOutput, OverdueChecksWidenIt) {
  LightHistory light = history();
  for (int i = 0; i < 20; ++i) add(light, 7 * i, 950);
  const LightOutput fresh = light_output(light, day(134));
  const LightOutput overdue = light_output(light, day(300));
  ASSERT_TRUE(fresh.days_since_reading);
  EXPECT_NEAR(*fresh.days_since_reading, 1, 1e-9);
  EXPECT_GT(overdue.today.ln_sd, 1.1 * fresh.today.ln_sd);
}

TEST(LightOutput, WhatDoesNotCountDoesNotPullItDown) {
  LightHistory light = history();
  for (int i = 0; i < 20; ++i) add(light, 7 * i, 950);
  const OutputSpread before = light_output(light, day(140)).today;
  add(light, 140, 500).tip_clean = false;
  add(light, 140, 500).purpose = Purpose::kLowBattery;
  const LightOutput after = light_output(light, day(140));
  EXPECT_NEAR(after.today.p50, before.p50, 1e-9);
  EXPECT_EQ(after.split.uncounted.size(), 2U);
  EXPECT_NEAR(*after.days_since_reading, 7, 1e-9);
}

TEST(LightOutput, AnAlarmDatesAStepAndTheEstimateFollows) {
  LightHistory light = history();
  for (int i = 0; i < 30; ++i) add(light, 7 * i, i % 2 == 0 ? 950 : 970);
  const double before = light_output(light, day(203)).today.p50;
  add(light, 210, 960 * 0.7);
  add(light, 217, 960 * 0.7);
  const LightOutput after = light_output(light, day(217), 500);
  EXPECT_TRUE(after.alarm_stands);
  EXPECT_FALSE(after.needs_bare_reading);
  EXPECT_TRUE(std::ranges::any_of(after.known.steps, [](const OutputStep& s) { return s.at == day(210); }));
  EXPECT_NEAR(after.today.p50 / before, 0.7, 0.03);
  ASSERT_TRUE(after.falls_below);
}

TEST(LightOutput, WithABarrierOnlyItAsksForABareReading) {
  LightHistory light = history();
  for (int i = 0; i < 20; ++i) add(light, 7 * i, 950);
  LightReading& covered = add(light, 140, 600);
  covered.barrier_on = true;
  covered.barrier = BarrierFactor{.passes = 0.93, .sd = 0.01};
  EXPECT_TRUE(light_output(light, day(140)).needs_bare_reading);
  add(light, 140, 640);
  const LightOutput bare = light_output(light, day(140));
  EXPECT_TRUE(bare.alarm_stands);
  EXPECT_FALSE(bare.needs_bare_reading);
}

TEST(LightOutput, ALightThatIsFollowedSaysTheSame) {
  LightHistory light = history();
  for (int i = 0; i < 30; ++i) add(light, 7 * i, 950 - 5 * i);
  add(light, 204, 700).barrier_on = true;
  const FollowedLight followed(light, day(204));
  for (const double at : {204.0, 211.5, 400.0}) {
    const LightOutput anew = light_output(light, day(at), 700);
    const LightToday kept = followed.at(day(at), 700);
    EXPECT_NEAR(kept.today.p50, anew.today.p50, 1e-9 * anew.today.p50) << at;
    EXPECT_NEAR(kept.today.ln_sd, anew.today.ln_sd, 1e-9);
    EXPECT_NEAR(kept.share_of_claim->p10, anew.share_of_claim->p10, 1e-9);
    EXPECT_NEAR(kept.change_per_year.p10, anew.change_per_year.p10, 1e-9);
    EXPECT_NEAR(kept.change_per_year.p90, anew.change_per_year.p90, 1e-9);
    EXPECT_EQ(kept.falls_below->early, anew.falls_below->early);
    EXPECT_EQ(kept.falls_below->middle, anew.falls_below->middle);
    EXPECT_EQ(kept.days_since_reading, anew.days_since_reading);
    EXPECT_EQ(kept.alarm_stands, anew.alarm_stands);
    EXPECT_EQ(kept.needs_bare_reading, anew.needs_bare_reading);
  }
}

/// What the last readings show, against what is estimated of them.
double shown_of_estimate(const LightOutput& output) { return output.shown_per_exitance * output.today.p50; }

TEST(LightOutput, ItIsKnownWhatARadiometerShowsOfTheOutput) {
  LightHistory light = history();
  EXPECT_EQ(light_output(light, day(0)).shown_per_exitance, 1) << "nothing was read";
  light.claim = ClaimKind::kCertificate;
  for (int i = 0; i < 20; ++i) add(light, 7 * i, 850 + i % 3);
  const LightOutput low = light_output(light, day(133));
  EXPECT_NEAR(low.shown_per_exitance, 0.85, 0.02) << "a laboratory says 1000";
  EXPECT_NEAR(shown_of_estimate(low) / 851, 1, 0.01);
  EXPECT_EQ(FollowedLight(light, day(133)).at(day(133)).shown_per_exitance, low.shown_per_exitance);
  EXPECT_EQ(light_output(light, day(300)).shown_per_exitance, low.shown_per_exitance)
      << "time alone tells nothing of it";
  // A tip that fills 0.8 of the aperture: known beforehand.
  LightHistory wide = history();
  wide.radiometers[0].aperture_mm = 10;
  wide.claim = ClaimKind::kCertificate;
  for (int i = 0; i < 5; ++i) add(wide, 7 * i, 800);
  EXPECT_NEAR(light_output(wide, day(28)).shown_per_exitance, 0.8, 1e-3);
}

TEST(LightOutput, WhatIsShownOfItIsWithoutTheBarrierAndOfEachSeriesItsOwn) {
  const auto covered = [](LightReading& reading) -> LightReading& {
    reading.barrier_on = true;
    reading.barrier = BarrierFactor{.passes = 0.93, .sd = 0.01};
    return reading;
  };
  LightHistory light = history();
  light.radiometers.push_back({.aperture_mm = 8, .spectral_class = SpectralClass::kBroad});
  for (int i = 0; i < 20; ++i) covered(add(light, 7 * i, 930));
  const LightOutput barrier = light_output(light, day(133));
  EXPECT_NEAR(shown_of_estimate(barrier) / 1000, 1, 0.01) << "as it would be shown without it";
  for (int i = 0; i < 20; ++i) add(light, 7 * i + 1, 800).radiometer = 1;
  const LightOutput both = light_output(light, day(134));
  ASSERT_EQ(both.shown_per_exitance_in.size(), 2U);
  EXPECT_EQ(both.shown_per_exitance, both.shown_per_exitance_in[1]) << "of the last one";
  EXPECT_NEAR(both.shown_per_exitance_in[0] * both.today.p50 / 1000, 1, 0.02);
  EXPECT_NEAR(both.shown_per_exitance_in[1] * both.today.p50 / 800, 1, 0.02);
  covered(add(light, 135, 740)).radiometer = 1;
  const LightOutput after = light_output(light, day(135));
  EXPECT_NEAR(shown_of_estimate(after) / 800, 1, 0.02) << "one reading with a barrier is not its scale";
}

TEST(LightOutput, AnotherTipIsAnotherOutputAndAnotherModeOnlyRelative) {
  LightHistory light = history();
  light.tips.push_back({.diameter_mm = 8});
  for (int i = 0; i < 10; ++i) add(light, 7 * i, 1000);
  const double sd = light_output(light, day(63)).today.ln_sd;
  add(light, 70, 1000).tip = 1;
  const LightOutput other = light_output(light, day(70));
  EXPECT_TRUE(std::ranges::any_of(other.known.steps, [](const OutputStep& s) { return s.at == day(70); }));
  EXPECT_GT(other.today.ln_sd, sd);
  LightHistory gentle = history();
  for (int i = 0; i < 10; ++i) add(gentle, 7 * i, 400).mode = 1;
  const OutputSpread today = light_output(gentle, day(63)).today;
  EXPECT_GT(today.p50, 950) << "a gentle mode does not say that the other is weak";
  EXPECT_NEAR(today.ln_sd, 0.15, 0.01);
}

TEST(LightOutput, BatterySagHasAnIntervalAndAFlag) {
  LightHistory light = history();
  for (int i = 0; i < 5; ++i) {
    add(light, 30 * i, 1000);
    add(light, 30 * i + 0.1, 800).purpose = Purpose::kLowBattery;
  }
  add(light, 400, 100).purpose = Purpose::kLowBattery;  // nothing to compare it with
  const LightOutput found = light_output(light, day(500));
  ASSERT_TRUE(found.sag);
  EXPECT_EQ(found.sag->pairs, 5U);
  EXPECT_NEAR(found.sag->middle, 0.2, 1e-12);
  // Scatter of a ratio by the prior, 8 of 12 degrees of freedom: t of 12 for 80 % is 1.356 (published tables).
  const double to_end = 1.356217 * std::numbers::sqrt2 * 0.03 * std::sqrt(8.0 / 12) / std::sqrt(5.0);
  EXPECT_NEAR(found.sag->low, 1 - 0.8 * std::exp(to_end), 1e-6);
  EXPECT_NEAR(found.sag->high, 1 - 0.8 * std::exp(-to_end), 1e-6);
  EXPECT_TRUE(found.sags);
  EXPECT_FALSE(light_output(light, day(500), std::nullopt, {.sag_flag = 0.25}).sags);
  EXPECT_FALSE(light_output(history(), day(500)).sag);
}

TEST(LightOutput, CleaningHasAGain) {
  LightHistory light = history();
  for (int i = 0; i < 3; ++i) {
    add(light, 30 * i, 900).purpose = Purpose::kBeforeCleaning;
    add(light, 30 * i + 0.01, 990).purpose = Purpose::kAfterCleaning;
  }
  const auto gain = light_output(light, day(100)).cleaning;
  ASSERT_TRUE(gain);
  EXPECT_EQ(gain->pairs, 3U);
  EXPECT_NEAR(gain->middle, 0.1, 1e-12);
  EXPECT_LT(gain->low, 0.1);
  EXPECT_GT(gain->high, 0.1);
}

TEST(ReadingFactor, ASmallTipReadsLowAndALargeOneHigh) {
  const HistoryRadiometer meter{.aperture_mm = 10, .spectral_class = SpectralClass::kBlue};
  const LnFactor small = aperture_factor(meter, 5);
  EXPECT_NEAR(small.mean, std::log(0.5), 1e-12);
  EXPECT_NEAR(small.sd, std::log(2.0) / std::sqrt(3.0), 1e-12) << "rectangular, GUM 4.3.7";
  EXPECT_GT(aperture_factor(meter, 12).mean, 0);
  EXPECT_EQ(aperture_factor(meter, 10).sd, 0);
  EXPECT_GT(aperture_factor({}, 8).sd, 0);
  EXPECT_LT(spectral_factor(meter, true).mean, 0) << "violet that it does not see";
  EXPECT_EQ(spectral_factor(meter, false).mean, 0);
  EXPECT_EQ(second_sd(10), 0);
  EXPECT_GT(second_sd(std::nullopt), 0);
}

TEST(ReadingFactor, ACertificateVouchesFromItsCalibrationThroughItsLastDay) {
  const HistoryRadiometer meter{.calibrations = {{.from = day(0), .until = day(100), .expanded = 0.08},
                                                 {.from = day(200), .until = day(300), .expanded = std::nullopt},
                                                 {.from = day(400), .until = day(500), .expanded = 0.06}}};
  const auto sd = [&](double at) { return radiometer_error_sd(meter, day(at)); };
  EXPECT_EQ(sd(-1), 0.20) << "nobody vouched for it yet";
  EXPECT_EQ(sd(0), 0.04);
  EXPECT_EQ(sd(99), 0.04);
  EXPECT_EQ(sd(100), 0.20) << "it has run out";
  EXPECT_EQ(sd(250), 0.20) << "the certificate does not say how well";
  EXPECT_EQ(sd(400), 0.03);
  EXPECT_EQ(sd(5000), 0.20);
  EXPECT_EQ(least_radiometer_error_sd(meter), 0.03);
  EXPECT_EQ(radiometer_error_sd({}, day(0)), 0.20);
}

TEST(LightOutput, ReadingsAfterACertificateHasRunOutAreOfAnUncertifiedRadiometer) {
  const auto sd_of = [](std::vector<Calibration> calibrations, double from) {
    LightHistory light = history();
    light.radiometers[0].calibrations = std::move(calibrations);
    for (int i = 0; i < 10; ++i) add(light, from + 7 * i, 950);
    return light_output(light, day(from + 63)).today.ln_sd;
  };
  const Calibration valid{.from = day(-10), .until = day(100), .expanded = 0.08};
  const double certified = sd_of({valid}, 0);
  const double uncertified = sd_of({}, 0);
  EXPECT_GT(uncertified, 1.3 * certified);
  EXPECT_NEAR(sd_of({valid}, 1000), sd_of({}, 1000), 1e-9) << "years after its last day it says nothing";
  const Calibration anew{.from = day(990), .until = day(2000), .expanded = 0.08};
  EXPECT_NEAR(sd_of({valid, anew}, 1000), sd_of({anew}, 1000), 1e-9);
  EXPECT_LT(sd_of({valid, anew}, 1000), 0.8 * sd_of({valid}, 1000));
  // Of a light that was followed before, what was known on the last day is not forgotten.
  LightHistory light = history();
  light.radiometers[0].calibrations = {valid};
  for (int i = 0; i < 14; ++i) add(light, 7 * i, 950);
  const OutputSpread on_the_last_day = light_output(light, day(99)).today;
  for (int i = 0; i < 14; ++i) add(light, 300 + 7 * i, 950);
  const OutputSpread later = light_output(light, day(391)).today;
  light.radiometers[0].calibrations[0].until = day(1000);
  const OutputSpread vouched = light_output(light, day(391)).today;
  EXPECT_GT(later.ln_sd, 1.1 * vouched.ln_sd);
  EXPECT_GT(later.ln_sd, on_the_last_day.ln_sd);
  EXPECT_LT(later.ln_sd, uncertified);
}

/// Weeks from the first alarm on the low side to the day on which the true output falls below 500 mW/cm2, for a light
/// of first 950; the page is looked at after each weekly check.
int weeks_ahead(std::uint64_t id, double steady_weeks, double loss_per_week) {
  base::Stream stream(4, 4, id);
  LightHistory light = history();
  int alarm = -1;
  for (int week = 0; week <= 52; ++week) {
    const double output = 950 * (1 - loss_per_week * std::max(0.0, week - steady_weeks));
    if (output < 500) return alarm < 0 ? 0 : week - alarm;
    add(light, 7 * week, output * 1.1 * std::exp(0.03 * standard_normal(stream)));
    if (alarm < 0 && week > steady_weeks && light_output(light, day(7 * week)).alarm_stands) alarm = week;
  }
  return -1;
}

// "A year of invented readings shows the failing light weeks before it falls below the limit."
TEST(LightOutput, AYearOfReadingsShowsTheFailingLightWeeksBefore) {
  const auto tenth_of = [](std::vector<int> weeks) {
    std::ranges::sort(weeks);
    return std::pair(weeks[weeks.size() / 10], weeks[weeks.size() / 2]);
  };
  std::vector<int> slow;    // from the first day on, 1 % of the first output a week: below 500 in the 48th week
  std::vector<int> sudden;  // sound for half a year, then 3 % a week: in the 42nd
  for (std::uint64_t id = 0; id < 100; ++id) {
    slow.push_back(weeks_ahead(id, 0, 0.01));
    sudden.push_back(weeks_ahead(1000 + id, 26, 0.03));
  }
  const auto [slow_10, slow_50] = tenth_of(slow);
  const auto [sudden_10, sudden_50] = tenth_of(sudden);
  RecordProperty("slow", std::to_string(slow_10) + " " + std::to_string(slow_50));
  RecordProperty("sudden", std::to_string(sudden_10) + " " + std::to_string(sudden_50));
  EXPECT_GE(slow_10, 20);
  EXPECT_GE(sudden_10, 8);
}

struct Counted {
  int today = 0;
  int later = 0;
  int shown_today = 0;
  int shown_later = 0;
};

/// Of 200 lights that fail so: 80 % intervals that hold the true output today, and 90 days on, and what its radiometer
/// shows of it.
Counted count(Failing how, ClaimKind claim) {
  Counted counted;
  for (std::uint64_t i = 0; i < 200; ++i) {
    const invented::Light light = invented::light(how, 1000 * static_cast<std::uint64_t>(how) + i, claim);
    const LightOutput output = light_output(light.history, day(365));
    const OutputEstimate estimate(output.known, day(365));
    const auto holds = [&](double at, const std::optional<AsShown>& as) {
      const OutputSpread spread = estimate.at(day(at), as);
      const double was = light.output(at) * (as ? light.shows : 1);
      return was >= spread.p10 && was <= spread.p90 ? 1 : 0;
    };
    counted.today += holds(365, {});
    counted.later += holds(455, {});
    counted.shown_today += holds(365, output.as_shown);
    counted.shown_later += holds(455, output.as_shown);
  }
  return counted;
}

// The issue wants 75 to 85 %. Over all lights they hold; by the way of failing they do not: see docs/charts.md. The
// seed is fixed.
TEST(LightOutput, IntervalsOnAThousandLightsThatFailOtherwiseThanAssumed) {
  for (const ClaimKind claim : {ClaimKind::kMaker, ClaimKind::kCertificate}) {
    Counted all;
    for (std::size_t how = 0; how < invented::kWords.size(); ++how) {
      const Counted counted = count(static_cast<Failing>(how), claim);
      const std::string name(invented::kWords[how]);
      RecordProperty(name + (claim == ClaimKind::kMaker ? "" : "_certificate"),
                     std::to_string(counted.today) + " " + std::to_string(counted.later) + " " +
                         std::to_string(counted.shown_today) + " " + std::to_string(counted.shown_later));
      all.today += counted.today;
      all.later += counted.later;
      all.shown_today += counted.shown_today;
      all.shown_later += counted.shown_later;
      EXPECT_GE(counted.today, 140) << name;
    }
    RecordProperty(claim == ClaimKind::kMaker ? "all" : "all_certificate",
                   std::to_string(all.today) + " " + std::to_string(all.later) + " " + std::to_string(all.shown_today) +
                       " " + std::to_string(all.shown_later));
    EXPECT_GE(all.today, 750);
    EXPECT_LE(all.today, 850);
    EXPECT_GE(all.later, 750);
    EXPECT_LE(all.later, 850);
    EXPECT_GE(all.shown_today, 750);
    EXPECT_LE(all.shown_today, 850);
    EXPECT_GE(all.shown_later, 750);
    EXPECT_LE(all.shown_later, 850);
  }
}

/// Of 200 lights that fail so: those that fall below a share of what is shown today on a day between the early and the
/// late one of the forecast. Where no late day is foretold, none within its three years is right too.
int falls_between(Failing how, double share) {
  constexpr int most_days = 1095;
  int held = 0;
  for (std::uint64_t i = 0; i < 200; ++i) {
    const invented::Light light = invented::light(how, 1000 * static_cast<std::uint64_t>(how) + i);
    const LightOutput today = light_output(light.history, day(365));
    const double need = share * today.today.p50 * today.shown_per_exitance;
    const FallsBelow falls = light_output(light.history, day(365), need).falls_below.value_or(FallsBelow{});
    int fell = 0;
    while (fell <= most_days && light.output(365 + fell) * light.shows >= need) ++fell;
    const base::Instant at = day(365 + fell);
    held += falls.early && *falls.early <= at && (!falls.late || at <= *falls.late) ? 1 : 0;
  }
  return held;
}

// The seed is fixed. By the way of failing it is told in docs/charts.md.
TEST(LightOutput, TheDayOfTheForecastHoldsOnAThousandLightsThatFailOtherwiseThanAssumed) {
  for (const double share : {0.95, 0.85}) {
    int all = 0;
    std::string each;
    for (std::size_t how = 0; how < invented::kWords.size(); ++how) {
      const int held = falls_between(static_cast<Failing>(how), share);
      all += held;
      each += std::string(invented::kWords[how]) + " " + std::to_string(held) + " ";
    }
    RecordProperty("share_" + std::to_string(static_cast<int>(100 * share)), each + "all " + std::to_string(all));
    EXPECT_GE(all, 750) << share;
  }
}

}  // namespace
}  // namespace throughcure::fleet
