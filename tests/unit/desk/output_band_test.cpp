// The band on a light's page against the estimate itself, which it is drawn from at few places. Everything is invented.
#include <cmath>
#include <cstdlib>
#include <vector>

#include <gtest/gtest.h>

#include "throughcure/desk/light_page.hpp"

namespace throughcure::desk {
namespace {

constexpr double kDay_us = 86'400e6;
base::Instant day(double days) { return {static_cast<std::int64_t>(days * kDay_us)}; }

/// Read weekly for two years; cleaned twice, with the next reading an hour and four days later; a new tip that was read
/// at once.
LightView followed() {
  LightView view;
  view.output.known = {.accepted_at = day(0), .claimed_mw_cm2 = 1000};
  for (int week = 0; week < 104; ++week) {
    view.output.known.readings.push_back({.at = day(7 * week + 0.4), .shown_mw_cm2 = 900.0 - week});
  }
  const auto after = [&](int week, double hours) { return day(7 * week + 0.4 - hours / 24); };
  view.output.known.steps = {
      {.at = after(30, 1), .sd = 0.1}, {.at = after(61, 96), .sd = 0.1}, {.at = after(80, 0), .sd = 0.25}};
  return view;
}

/// Drawn as straight lines between the points.
double drawn_ln_sd(const std::vector<BandPoint>& band, base::Instant at) {
  std::size_t after = 0;
  while (band[after].at < at) ++after;
  if (band[after].at == at || after == 0) return band[after].output.ln_sd;
  const BandPoint& a = band[after - 1];
  const BandPoint& b = band[after];
  const double share = static_cast<double>(at.us - a.at.us) / static_cast<double>(b.at.us - a.at.us);
  return a.output.ln_sd + share * (b.output.ln_sd - a.output.ln_sd);
}

TEST(OutputBand, IsWideFromWhatWasDoneToTheNextReadingAndNotBeforeNorAfter) {
  const LightView view = followed();
  const base::Instant now = day(730);
  const std::vector<BandPoint> band = output_band(view, now);
  for (std::size_t i = 1; i < band.size(); ++i) {
    ASSERT_LE(band[i - 1].at, band[i].at);
  }
  // Every two hours: between readings the estimate moves by a hundredth, what was done moves it by a quarter and more.
  for (int i = 200; i < 8700; ++i) {
    const base::Instant at = day(i / 12.0);
    const double then = fleet::OutputEstimate(view.output.known, at).at(at).ln_sd;
    EXPECT_NEAR(drawn_ln_sd(band, at) / then, 1, 0.05) << "day " << i / 12.0;
  }
  EXPECT_LT(band.size(), 120U) << "a page of few points";
}

/// Read by one radiometer, whose certificate runs out on day 200, and from day 400 on by another that shows a fifth
/// more.
LightView read_by_two() {
  LightView view;
  fleet::LightHistory& history = view.record.history;
  history = {.accepted_at = day(0), .claimed_mw_cm2 = 1000};
  history.radiometers = {{.aperture_mm = 8, .calibrations = {{.from = day(-10), .until = day(200), .expanded = 0.1}}},
                         {.aperture_mm = 8}};
  history.tips = {{.diameter_mm = 8}};
  for (int week = 0; week < 80; ++week) {
    const bool by_other = 7 * week >= 400;
    history.readings.push_back({.id = {week + 1},
                                .at = day(7 * week),
                                .radiometer = by_other ? 1U : 0U,
                                .shown_mw_cm2 = by_other ? 1080.0 : 900.0,
                                .purpose = week == 0 ? fleet::Purpose::kAcceptance : fleet::Purpose::kCheck});
  }
  view.output = fleet::light_output(history, day(560));
  for (const double shown : view.output.shown_per_exitance_in) {
    view.scales.push_back({.limit_mw_cm2 = 700, .to_drawn = view.output.shown_per_exitance_in.back() / shown});
  }
  return view;
}

TEST(OutputBand, HoldsTheReadingsOfEachTimeCloselyWhateverHappenedToItsRadiometer) {
  const LightView view = read_by_two();
  ASSERT_EQ(view.scales.size(), 2U);
  EXPECT_NEAR(view.scales[0].to_drawn, 1.2, 0.02);
  for (const BandPoint& point : output_band(view, day(560))) {
    if (point.at > day(560)) break;
    // Drawn as the second one shows it. The belief in a reading is 3 %: the first is known no better.
    EXPECT_NEAR(point.output.p50, 1080, 25) << "day " << static_cast<double>(point.at.us) / kDay_us;
    EXPECT_LT(point.output.ln_sd, 0.04) << "day " << static_cast<double>(point.at.us) / kDay_us;
  }
}

TEST(OutputBand, OfALightWithoutReadingsIsEmpty) {
  LightView view;
  view.output.known = {.accepted_at = day(0), .claimed_mw_cm2 = 1000};
  EXPECT_TRUE(output_band(view, day(30)).empty());
}

}  // namespace
}  // namespace throughcure::desk
