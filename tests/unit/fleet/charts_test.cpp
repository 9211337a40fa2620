// The charts against the worked examples of the NIST/SEMATECH e-Handbook of Statistical Methods.
#include <cmath>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "support/kilogram_check_standard.hpp"
#include "throughcure/fleet/change_point.hpp"
#include "throughcure/fleet/cusum.hpp"
#include "throughcure/fleet/ewma.hpp"
#include "throughcure/fleet/individuals.hpp"
#include "throughcure/fleet/normal.hpp"

namespace throughcure::fleet {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;
using ::testing::SizeIs;

// e-Handbook 6.3.2.2, ten flow rates: mean, limits and verdict as printed; the moving range's limit recomputed.
TEST(Individuals, HandbookFlowRates) {
  const std::vector<double> x{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
  const InControl in_control = estimate_in_control(x);
  const IndividualsChart chart = individuals_chart(x, in_control);
  EXPECT_NEAR(in_control.target, 50.81, 1e-9);
  EXPECT_NEAR(in_control.sigma * kD2OfTwo, 1.8778, 5e-5);
  EXPECT_NEAR(chart.ucl, 55.8041, 5e-5);
  EXPECT_NEAR(chart.lcl, 45.8159, 5e-5);
  EXPECT_NEAR(chart.moving_range_handbook_ucl, 6.1347, 5e-5);
  EXPECT_THAT(chart.moving_range, SizeIs(9));
  EXPECT_THAT(chart.signals, IsEmpty());
  EXPECT_THAT(chart.warnings, IsEmpty());
}

// e-Handbook 6.3.2.4: historical sigma, target 50, lambda 0.3, as printed to two decimals (the lower limit cut to
// four).
TEST(Ewma, HandbookTwentyPoints) {
  const std::vector<double> x{52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5,
                              49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
  const std::vector<double> printed{50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33,
                                    50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99};
  const EwmaChart chart = ewma_chart(x, {.target = 50, .sigma = 2.0539}, {.lambda = 0.3, .L = 3});
  ASSERT_THAT(chart.z, SizeIs(20));
  for (std::size_t i = 0; i < x.size(); ++i) EXPECT_NEAR(chart.z[i], printed[i], 0.005 + 1e-9) << i;
  EXPECT_NEAR(chart.ucl, 52.5884, 5e-5);
  EXPECT_NEAR(chart.lcl, 47.4115, 1e-4);
  EXPECT_THAT(chart.signals, IsEmpty());
}

// e-Handbook 6.3.2.3: target, k and h in data units; both columns as printed; the first signal at group 14.
TEST(Cusum, HandbookTwentyGroups) {
  const std::vector<double> x{324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600,
                              324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350};
  const std::vector<double> high{0, 0, 0,    0,    0.03, 0,     0,     0,     0,     0,
                                 0, 0, 3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.00, 19.04};
  const std::vector<double> low{0, 0.01, 0, 0.33, 0, 0, 0.56, 0.72, 0.17, 0.25, 0.31, 0, 0, 0, 0, 0, 0, 0, 0, 0};
  const CusumChart chart = cusum_chart(x, {.target = 325, .sigma = 1}, {.k = 0.3175, .h = 4.1959});
  for (std::size_t i = 0; i < x.size(); ++i) {
    EXPECT_NEAR(chart.c_plus[i], high[i], 0.005 + 1e-9) << i;
    EXPECT_NEAR(chart.c_minus[i], low[i], 0.005 + 1e-9) << i;
  }
  ASSERT_THAT(chart.signals, SizeIs(7));
  for (std::size_t s = 0; s < 7; ++s) {
    EXPECT_EQ(chart.signals[s], (Signal{.at = 13 + s, .rule = Rule::kCusumHigh, .change_at = 12}));
  }
  // The most likely step, found another way, is the same.
  EXPECT_EQ(change_began(std::span(x).first(14), 325, Side::kHigh), 12U);
}

// e-Handbook 2.3.5.2: limits from the years before 1985; the averages see the change that single values hardly show.
TEST(Ewma, KilogramCheckStandard) {
  std::vector<double> base;
  std::vector<double> after;
  std::vector<double> year;
  for (const auto& row : tests::kKilogramCheckStandard) {
    (row.year < 85 ? base : after).push_back(row.value);
    if (row.year >= 85) year.push_back(row.year);
  }
  ASSERT_THAT(base, SizeIs(99));
  ASSERT_THAT(after, SizeIs(118));
  double mean = 0;
  for (const double v : base) mean += v / 99;
  double squares = 0;
  for (const double v : base) squares += (v - mean) * (v - mean);
  const InControl in_control{.target = mean, .sigma = std::sqrt(squares / 98)};
  EXPECT_NEAR(in_control.target, -19.478509899, 1e-8);
  EXPECT_NEAR(in_control.sigma, 0.030652270, 1e-8);

  const EwmaChart ewma = ewma_chart(after, in_control, {.lambda = 0.2, .L = 3});
  EXPECT_NEAR(ewma.ucl, -19.447857629, 1e-8);
  EXPECT_NEAR(ewma.lcl, -19.509162169, 1e-8);
  ASSERT_THAT(ewma.signals, SizeIs(47));
  EXPECT_NEAR(year[ewma.signals.front().at], 86.513, 1e-9);
  EXPECT_NEAR(ewma.z[ewma.signals.front().at], -19.444219477, 1e-8);

  const IndividualsChart single = individuals_chart(after, in_control, {.L = 3, .moving_range = 100, .runs = {}});
  ASSERT_THAT(single.signals, SizeIs(2));
  EXPECT_NEAR(year[single.signals[0].at], 86.511, 1e-9);
  EXPECT_NEAR(year[single.signals[1].at], 87.016, 1e-9);
}

// Westgard's multirule; the series is made up, the points follow from the published definitions by hand.
TEST(RunRules, Multirule) {
  const std::vector<double> v{1010, 985,  1020, 1055, 1060, 998,  940,  1005, 1030, 1028,
                              1027, 1029, 1003, 1006, 1009, 1002, 1012, 1004, 1001, 920};
  const InControl in_control{.target = 1000, .sigma = 25};
  const auto points = [&](const RunRule& rule) {
    std::vector<std::size_t> at;
    for (const Signal& signal : run_signals(v, in_control, rule)) at.push_back(signal.at + 1);
    return at;
  };
  EXPECT_THAT(points(kOneBeyondTwoSigma), ElementsAre(4, 5, 7, 20));
  EXPECT_THAT(points(kTwoBeyondTwoSigma), ElementsAre(5));
  EXPECT_THAT(points(kFourBeyondOneSigma), ElementsAre(12));
  EXPECT_THAT(points(kTenOnOneSide), ElementsAre(17, 18, 19));
  EXPECT_THAT(points({Rule::kBeyondLimits, 1, 3}), ElementsAre(20));
}

TEST(Individuals, AJumpOfTheRangeIsSeenWhereBothValuesAreInside) {
  const IndividualsChart chart =
      individuals_chart(std::vector<double>{0.1, -0.2, 2.5, -2.5, 0.3}, {.target = 0, .sigma = 1});
  EXPECT_THAT(chart.signals, ElementsAre(Signal{.at = 3, .rule = Rule::kMovingRange, .change_at = 3}));
  EXPECT_THAT(chart.warnings, SizeIs(3));
}

// A large step is dated to the very point by every chart, wherever it lies and whichever way it goes.
RC_GTEST_PROP(Charts, DateALargeStep, ()) {
  const auto before = *rc::gen::inRange<std::size_t>(0, 40);
  const auto after = *rc::gen::inRange<std::size_t>(6, 20);
  const double step = *rc::gen::element(-9.0, 9.0);
  const auto seed = *rc::gen::arbitrary<std::uint64_t>();
  base::Stream stream(seed, 1, 0);
  std::vector<double> x(before + after);
  for (std::size_t i = 0; i < x.size(); ++i) x[i] = 0.5 * standard_normal(stream) + (i < before ? 0 : step);
  const InControl in_control{.target = 0, .sigma = 1};
  const auto last = [](const std::vector<Signal>& signals) { return signals.back(); };
  RC_ASSERT(last(ewma_chart(x, in_control).signals).change_at == before);
  RC_ASSERT(last(individuals_chart(x, in_control, {.L = 3, .moving_range = 100, .runs = {}}).signals).change_at ==
            before);
  RC_ASSERT(last(cusum_chart(x, in_control, {.k = 2, .h = 5}).signals).change_at == before);
}

// Charts do not care for the unit or for where zero is; turned upside down they say the same of the other side.
RC_GTEST_PROP(Charts, AreTheSameInEveryUnit, ()) {
  const auto ticks = *rc::gen::container<std::vector<int>>(rc::gen::inRange(-64, 64));
  std::vector<double> x;
  std::vector<double> scaled;
  std::vector<double> turned;
  for (const int tick : ticks) {
    x.push_back(tick / 16.0);
    scaled.push_back(1000 + 4 * x.back());
    turned.push_back(-x.back());
  }
  const InControl plain{.target = 0, .sigma = 1};
  const InControl in_unit{.target = 1000, .sigma = 4};
  RC_ASSERT(cusum_chart(x, plain).signals == cusum_chart(scaled, in_unit).signals);
  RC_ASSERT(individuals_chart(x, plain).signals == individuals_chart(scaled, in_unit).signals);
  RC_ASSERT(cusum_chart(x, plain).c_plus == cusum_chart(turned, plain).c_minus);
  RC_ASSERT(ewma_chart(x, plain, {.lambda = 0.25, .L = 3}).signals ==
            ewma_chart(turned, plain, {.lambda = 0.25, .L = 3}).signals);
}

}  // namespace
}  // namespace throughcure::fleet
