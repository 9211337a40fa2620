// Joined uncertainties and gauge R&R against the worked examples of the GUM and of published manuals.
#include "throughcure/fleet/uncertainty.hpp"

#include <cmath>

#include <gtest/gtest.h>

#include "throughcure/base/problem.hpp"
#include "throughcure/fleet/gauge_rr.hpp"

namespace throughcure::fleet {
namespace {

// GUM H.1, end gauge: u 32 nm, 16 effective degrees of freedom, k(95 %) 2.12 with them cut down (published); the
// figures behind are recomputed from the published components.
TEST(Uncertainty, EndGauge) {
  const std::vector<Contribution> budget{{25, 18}, {16.599, 2}, {6.7, 8}, {5.8, 24}, {3.9, 5}, {2.88679, 50}};
  const CombinedUncertainty result = combined(budget);
  EXPECT_NEAR(result.u, 32, 0.5);
  EXPECT_NEAR(result.u, 31.6637674, 1e-3);
  EXPECT_NEAR(result.effective_dof, 16.752, 2e-3);
  EXPECT_NEAR(coverage_factor(result.effective_dof, 0.95), 2.12, 0.005);
  EXPECT_NEAR(coverage_factor(result.effective_dof, 0.95), 2.119905, 1e-6);
  EXPECT_NEAR(coverage_factor(result.effective_dof, 0.99), 2.920782, 1e-6);
  EXPECT_NEAR(coverage_factor(std::numeric_limits<double>::infinity(), 0.95), 1.959964, 1e-6);
}

// GUM H.2, resistance, reactance and impedance from five simultaneous observations (published; ohm).
TEST(Uncertainty, SimultaneousResistanceAndReactance) {
  const Means means = means_of({{5.007, 4.994, 5.005, 4.990, 4.999},
                                {19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3},
                                {1.0456, 1.0438, 1.0468, 1.0428, 1.0433}});
  const double V = means.mean[0];
  const double I = means.mean[1];
  const double phi = means.mean[2];
  EXPECT_NEAR(std::sqrt(means.covariance[0][0]), 0.0032093613, 1e-9);
  EXPECT_NEAR(std::sqrt(means.covariance[1][1]), 9.471008394e-06, 1e-14);
  EXPECT_NEAR(std::sqrt(means.covariance[2][2]), 0.000752063827, 1e-11);
  const std::vector<double> of_R{std::cos(phi) / I, -V * std::cos(phi) / (I * I), -V * std::sin(phi) / I};
  const std::vector<double> of_X{std::sin(phi) / I, -V * std::sin(phi) / (I * I), V * std::cos(phi) / I};
  const std::vector<double> of_Z{1 / I, -V / (I * I), 0};
  const auto cov = [&](const auto& a, const auto& b) { return covariance_of_results(a, b, means.covariance); };
  const double u_R = std::sqrt(cov(of_R, of_R));
  const double u_X = std::sqrt(cov(of_X, of_X));
  const double u_Z = std::sqrt(cov(of_Z, of_Z));
  EXPECT_NEAR(V * std::cos(phi) / I, 127.732, 5e-4);
  EXPECT_NEAR(V * std::sin(phi) / I, 219.847, 5e-4);
  EXPECT_NEAR(u_R, 0.071, 5e-4);
  EXPECT_NEAR(u_X, 0.295, 1e-3);  // printed from rounded correlations; 0.29558 with these
  EXPECT_NEAR(u_Z, 0.236, 5e-4);
  EXPECT_NEAR(cov(of_R, of_X) / u_R / u_X, -0.59, 0.005);
  EXPECT_NEAR(cov(of_R, of_Z) / u_R / u_Z, -0.49, 0.006);
  EXPECT_NEAR(cov(of_X, of_Z) / u_X / u_Z, 0.99, 0.005);
}

// AIAG, Measurement Systems Analysis, 4th edition: ten parts, three appraisers, three trials (published, with the
// interaction pooled; the deviation without pooling likewise).
TEST(GaugeRr, TenPartsThreeAppraisers) {
  const CrossedReadings readings{{{.29, .41, .64},
                                  {-.56, -.68, -.58},
                                  {1.34, 1.17, 1.27},
                                  {.47, .50, .64},
                                  {-.80, -.92, -.84},
                                  {.02, -.11, -.21},
                                  {.59, .75, .66},
                                  {-.31, -.20, -.17},
                                  {2.26, 1.99, 2.01},
                                  {-1.36, -1.25, -1.31}},
                                 {{.08, .25, .07},
                                  {-.47, -1.22, -.68},
                                  {1.19, .94, 1.34},
                                  {.01, 1.03, .20},
                                  {-.56, -1.20, -1.28},
                                  {-.20, .22, .06},
                                  {.47, .55, .83},
                                  {-.63, .08, -.34},
                                  {1.80, 2.12, 2.19},
                                  {-1.68, -1.62, -1.50}},
                                 {{.04, -.11, -.15},
                                  {-1.38, -1.13, -.96},
                                  {.88, 1.09, .67},
                                  {.14, .20, .11},
                                  {-1.46, -1.07, -1.45},
                                  {-.29, -.67, -.49},
                                  {.02, .01, .21},
                                  {-.46, -.56, -.49},
                                  {1.77, 1.45, 1.87},
                                  {-1.49, -1.77, -2.16}}};
  const GaugeRr pooled = gauge_rr(readings);
  EXPECT_TRUE(pooled.interaction_pooled);
  EXPECT_NEAR(pooled.interaction_F, 0.434, 5e-4);
  EXPECT_NEAR(pooled.interaction_p, 0.9741, 5e-5);
  EXPECT_NEAR(pooled.repeatability, 0.199933, 5e-7);
  EXPECT_NEAR(pooled.reproducibility, 0.226838, 7e-7);
  EXPECT_NEAR(pooled.gauge, 0.302373, 2e-6);
  EXPECT_NEAR(pooled.between, 1.042327, 7e-7);
  EXPECT_NEAR(100 * pooled.gauge / pooled.total, 27.9, 0.05);
  EXPECT_NEAR(pooled.distinct_categories, 4.861, 6e-4);
  EXPECT_NEAR(gauge_rr(readings, 1).repeatability, 0.214435, 5e-7);
}

// Two parts, two operators, two trials; variances as a public gauge R&R program prints them, without pooling.
TEST(GaugeRr, TwoParts) {
  const GaugeRr result = gauge_rr({{{0.0172, 0.0177}, {0.0155, 0.0159}}, {{0.0174, 0.0181}, {0.0152, 0.0176}}}, 1);
  const auto variance = [](double sd) { return sd * sd; };
  EXPECT_NEAR(variance(result.repeatability), 8.325e-07, 1e-13);
  EXPECT_NEAR(variance(result.reproducibility), 1.05e-07, 1e-13);
  EXPECT_NEAR(variance(result.gauge), 9.375e-07, 1e-13);
  EXPECT_NEAR(variance(result.between), 1.18125e-06, 1e-13);
}

TEST(GaugeRr, ReadingsThatAreNotCrossedAreRefused) {
  EXPECT_THROW(gauge_rr({}), base::Failure);
  EXPECT_THROW(gauge_rr({{{1, 2}, {1, 2}}}), base::Failure);
  EXPECT_THROW(gauge_rr({{{1, 2}, {1, 2}}, {{1, 2}, {1}}}), base::Failure);
  EXPECT_THROW(gauge_rr({{{1}, {1}}, {{1}, {1}}}), base::Failure);
}

}  // namespace
}  // namespace throughcure::fleet
