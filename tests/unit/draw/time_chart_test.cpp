// A chart in ink: what lies where, and words that are apart. No outside source: our own contract.
#include "throughcure/draw/time_chart.hpp"

#include <algorithm>
#include <string>

#include <gtest/gtest.h>

#include "support/laid_words.hpp"
#include "support/picture_marks.hpp"

namespace throughcure::draw {
namespace {

using tests::all;
using tests::expect_tidy;

TimeChart usual() {
  TimeChart chart{.from_day = 100,
                  .to_day = 300,
                  .now_day = 200,
                  .y_title = "radiometer readings and estimate, mW/cm²",
                  .now_words = "2026-11-27: about 1010, 940 to 1080",
                  .dots = {},
                  .band = {},
                  .levels = {{904, 100, 300, "limit 904", LevelKind::kLimit},
                             {1130, 100, 200, "baseline 1130", LevelKind::kBaseline},
                             {1128, 100, 200, "chart, lower", LevelKind::kControl},
                             {1132, 100, 200, "chart, upper", LevelKind::kControl},
                             {1131, 100, 200, "claim 1131", LevelKind::kClaim}},
                  .months = {},
                  .events = {{120, "cleaned"}, {121, "tip replaced"}, {190, "dropped"}}};
  for (int day = 100; day <= 200; day += 7) {
    chart.dots.push_back({static_cast<double>(day), 1130.0 - day, day % 2 == 0, false});
  }
  for (int day = 100; day <= 300; day += 10) chart.band.push_back({static_cast<double>(day), 900, 1000, 1100});
  for (int i = 0; i < 7; ++i) chart.months.push_back({100.0 + 30 * i, "Nov 2026"});
  return chart;
}

TEST(TimeChart, WordsStayInsideAndApart) {
  expect_tidy(time_chart(usual(), 180, 78));
  TimeChart now_at_the_end = usual();
  now_at_the_end.to_day = 201;
  expect_tidy(time_chart(now_at_the_end, 180, 78));
  TimeChart now_at_the_beginning = usual();
  now_at_the_beginning.from_day = 199;
  expect_tidy(time_chart(now_at_the_beginning, 180, 78));
  TimeChart all_at_once = usual();
  for (ChartTick& event : all_at_once.events) event.at_day = 150;
  for (ChartLevel& level : all_at_once.levels) level.value = 0;
  expect_tidy(time_chart(all_at_once, 180, 78));
}

TEST(TimeChart, DotsStandAtTheirDayAndValue) {
  TimeChart chart = usual();
  chart.band.clear();
  chart.levels.clear();
  chart.events.clear();
  chart.dots = {{100, 0, true, false}, {200, 1000, false, false}, {300, 500, true, true}, {99, 500, true, false}};
  const Picture picture = time_chart(chart, 180, 78);
  const auto dots = all<Polygon>(picture);
  ASSERT_EQ(dots.size(), 3U) << "one is of before";
  const auto middle = [](const Polygon& dot) {
    Place sum{};
    for (const Place& place : dot.rings[0]) sum = {sum.x_mm + place.x_mm, sum.y_mm + place.y_mm};
    const auto count = static_cast<double>(dot.rings[0].size());
    return Place{sum.x_mm / count, sum.y_mm / count};
  };
  const Place first = middle(dots[0]);
  const Place second = middle(dots[1]);
  const Place third = middle(dots[2]);
  EXPECT_NEAR(second.x_mm - first.x_mm, third.x_mm - second.x_mm, 1e-6);
  EXPECT_NEAR(first.y_mm - second.y_mm, 2 * (first.y_mm - third.y_mm), 1e-6);
  EXPECT_GT(first.y_mm, second.y_mm) << "more is higher";
  EXPECT_EQ(dots[0].colour, kInk);
  EXPECT_EQ(dots[1].colour, kWhite) << "hollow: it does not count";
}

TEST(TimeChart, TheForecastIsHatchedAndTheEstimateIsGrey) {
  TimeChart chart = usual();
  chart.dots.clear();
  chart.events.clear();
  const std::size_t with_both = all<Stroke>(time_chart(chart, 180, 78)).size();
  EXPECT_EQ(all<Polygon>(time_chart(chart, 180, 78)).size(), 1U);
  std::erase_if(chart.band, [](const ChartBand& one) { return one.at_day > 200; });
  EXPECT_LT(all<Stroke>(time_chart(chart, 180, 78)).size() + 20, with_both);
  std::erase_if(chart.band, [](const ChartBand& one) { return one.at_day > 100; });
  EXPECT_TRUE(all<Polygon>(time_chart(chart, 180, 78)).empty()) << "one point is no band";
}

TEST(TimeChart, NothingOnRecordIsAnEmptyPlot) {
  TimeChart chart;
  chart.y_title = "mW/cm²";
  expect_tidy(time_chart(chart, 180, 78));
}

}  // namespace
}  // namespace throughcure::draw
