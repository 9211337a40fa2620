// Run lengths against published tables, and the settings that the program starts with against the promise of at least
// 200 checks between false alarms.
#include "throughcure/fleet/run_length.hpp"

#include <cmath>
#include <limits>

#include <gtest/gtest.h>

#include "throughcure/fleet/normal.hpp"

namespace throughcure::fleet {
namespace {

constexpr double kLeastArl = 200;
/// Histories of a simulation. Their run length scatters about as much as it is long: 0.9 % of standard error.
constexpr std::uint64_t kHistories = 12'000;

// Lucas and Crosier 1982, Technometrics 24, table 1: two-sided, k 0.5, h 4 (published, three figures).
TEST(RunLength, CusumOfLucasAndCrosier) {
  const CusumSettings settings{.k = 0.5, .h = 4};
  EXPECT_NEAR(average_run_length(settings, 0), 168, 0.5);
  EXPECT_NEAR(average_run_length(settings, 0.25), 74.2, 0.05);
  EXPECT_NEAR(average_run_length(settings, 0.5), 26.6, 0.05);
  EXPECT_NEAR(average_run_length(settings, 1), 8.38, 0.005);
  EXPECT_NEAR(average_run_length(settings, 2), 3.34, 0.005);
  EXPECT_NEAR(average_run_length(settings, 3), 2.19, 0.005);
}

// Manual of a statistics package, 1999: k 0.25, h 8, shift 2.5: 4.1500836225 one-sided, 4.1500826715 two-sided
// (published). The other side never signals there: the two should be one, and what they differ by is their own error.
TEST(RunLength, CusumToSixFigures) {
  EXPECT_NEAR(average_run_length(CusumSettings{.k = 0.25, .h = 8}, 2.5), 4.150083, 1.1e-6);
}

// Crowder 1987, Technometrics 29, table 1: L 2, lambda 0.5 and 0.05. Lucas and Saccucci 1990, Technometrics 32, table
// 3: lambda 0.5, L 3.071 and lambda 0.03, L 2.437 (published).
TEST(RunLength, EwmaOfCrowderAndOfLucasAndSaccucci) {
  EXPECT_NEAR(average_run_length(EwmaSettings{.lambda = 0.5, .L = 2}, 0), 26.45, 0.005);
  EXPECT_NEAR(average_run_length(EwmaSettings{.lambda = 0.5, .L = 2}, 1), 4.91, 0.0051);
  EXPECT_NEAR(average_run_length(EwmaSettings{.lambda = 0.05, .L = 2}, 0), 127.53, 0.005);
  EXPECT_NEAR(average_run_length(EwmaSettings{.lambda = 0.05, .L = 2}, 2), 4.04, 0.005);
  EXPECT_NEAR(average_run_length(EwmaSettings{.lambda = 0.5, .L = 3.071}, 0), 500, 1);
  EXPECT_NEAR(average_run_length(EwmaSettings{.lambda = 0.5, .L = 3.071}, 1), 17.5, 0.05);
  EXPECT_NEAR(average_run_length(EwmaSettings{.lambda = 0.03, .L = 2.437}, 0), 500, 1);
  EXPECT_NEAR(average_run_length(EwmaSettings{.lambda = 0.03, .L = 2.437}, 0.5), 29.3, 0.05);
  EXPECT_NEAR(average_run_length(EwmaSettings{.lambda = 0.25, .L = 3}, 1), 11.154267016, 1e-7);  // the manual again
}

// With a weight of 1 the average is the value itself.
TEST(RunLength, EwmaOfWeightOneIsTheChartOfSingleValues) {
  EXPECT_NEAR(average_run_length(EwmaSettings{.lambda = 1, .L = 3}, 0), 1 / (2 * normal_below(-3)), 1e-6);
}

// Champ and Woodall 1987, Technometrics 29, table 1, single values with and without a run of eight; Rigdon, Cruthis
// and Champ 1994, J. Quality Technology 26, limits that give 200 and 500 checks with the moving range (published).
TEST(RunLength, IndividualsOfChampAndWoodallAndOfRigdon) {
  const double none = std::numeric_limits<double>::infinity();
  const auto arl = [](const IndividualsSettings& settings, double shift) {
    return average_run_length(settings, shift, kHistories, 1);
  };
  const RunRule eight{Rule::kTenOnOneSide, 8, 0};
  EXPECT_NEAR(arl({.L = 3, .moving_range = none, .runs = {}}, 0) / 370.40, 1, 0.036);
  EXPECT_NEAR(arl({.L = 3, .moving_range = none, .runs = {eight}}, 0) / 152.73, 1, 0.036);
  EXPECT_NEAR(arl({.L = 3, .moving_range = none, .runs = {eight}}, 1) / 14.58, 1, 0.036);
  EXPECT_NEAR(arl({.L = 2.992, .moving_range = 4.139, .runs = {}}, 0) / 200.54, 1, 0.036);
  EXPECT_NEAR(arl({.L = 3.268, .moving_range = 4.556, .runs = {}}, 0) / 505.3, 1, 0.036);  // Amin and Ethridge 1998
}

// What the program starts with: no chart may raise more than one false alarm in 200 checks.
TEST(RunLength, TheSettingsToStartWithKeepFalseAlarmsApart) {
  EXPECT_GT(average_run_length(CusumSettings{}, 0), kLeastArl);
  EXPECT_GT(average_run_length(EwmaSettings{}, 0), kLeastArl);
  // Four standard errors above 200.
  EXPECT_GT(average_run_length(IndividualsSettings{}, 0, kHistories, 2), kLeastArl * 1.036);
  // The handbook's limit of the moving range would break it: that is why it only warns.
  EXPECT_LT(average_run_length(IndividualsSettings{.L = 3, .moving_range = kD4OfTwo * kD2OfTwo, .runs = {}}, 0,
                               kHistories, 3),
            kLeastArl / 1.5);
  RecordProperty("cusum", std::to_string(average_run_length(CusumSettings{}, 0)));
  RecordProperty("ewma", std::to_string(average_run_length(EwmaSettings{}, 0)));
}

// The charts themselves, run on simulated checks, agree with the integral equations.
TEST(RunLength, ChartsThatAreRunAgree) {
  constexpr std::uint64_t histories = 3000;
  constexpr std::size_t most = 6000;  // under exp(-10) of the histories are longer
  double cusum_checks = 0;
  double ewma_checks = 0;
  for (std::uint64_t history = 0; history < histories; ++history) {
    base::Stream stream(5, 2, history);
    std::vector<double> x;
    // In pieces that double, so that short histories stay cheap.
    for (std::size_t length = 256; length <= 2 * most; length *= 2) {
      while (x.size() < length) x.push_back(standard_normal(stream));
      const auto cusum = cusum_chart(x, {.target = 0, .sigma = 1}).signals;
      const auto ewma = ewma_chart(x, {.target = 0, .sigma = 1}).signals;
      if ((cusum.empty() || ewma.empty()) && 2 * length <= 2 * most) continue;
      cusum_checks += static_cast<double>(cusum.empty() ? length : cusum.front().at + 1);
      ewma_checks += static_cast<double>(ewma.empty() ? length : ewma.front().at + 1);
      break;
    }
  }
  // Four standard errors: 4 / sqrt(3000) of the value.
  EXPECT_NEAR(cusum_checks / histories / average_run_length(CusumSettings{}, 0), 1, 0.073);
  EXPECT_NEAR(ewma_checks / histories / average_run_length(EwmaSettings{}, 0), 1, 0.073);
}

}  // namespace
}  // namespace throughcure::fleet
