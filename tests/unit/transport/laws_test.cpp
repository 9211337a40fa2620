// Fresnel, Snell, Henyey-Greenstein: against published and handbook values.
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "throughcure/base/random.hpp"
#include "throughcure/transport/optics_laws.hpp"

namespace throughcure::transport {
namespace {

// Source: iadpython, tests/test_fresnel.py (Prahl); kind: published.
TEST(Fresnel, ReproducesThePublishedTable) {
  EXPECT_NEAR(fresnel(1, 1.5, 1).reflectance, 0.04, 1e-12);
  EXPECT_NEAR(fresnel(1, 1.5, 0.5).reflectance, 0.0891867128, 1e-10);
  EXPECT_NEAR(fresnel(1, 1.5, 0.2).reflectance, 0.338894, 5e-7);
  EXPECT_NEAR(fresnel(1.5, 1, 0.8).reflectance, 0.11414110, 5e-9);
  EXPECT_EQ(fresnel(1.5, 1, 0.7453559).reflectance, 1);
  EXPECT_NEAR(fresnel(1, 1.5, 0.5).cos_beyond, 0.81649658, 5e-9);
}

/// Reflectance of a boundary under diffuse light: the integral of 2 mu R(mu).
double diffuse_reflectance(double n1, double n2) {
  constexpr int steps = 200'000;
  double sum = 0;
  for (int i = 0; i < steps; ++i) {
    const double mu = (i + 0.5) / steps;
    sum += 2 * mu * fresnel(n1, n2, mu).reflectance / steps;
  }
  return sum;
}

// Source: optics reference, section 5e (diffuse Fresnel, outside and inside); kind: computed there, independently.
TEST(Fresnel, DiffuseReflectanceOutsideAndInside) {
  EXPECT_NEAR(diffuse_reflectance(1, 1.4), 0.07681, 6e-6);
  EXPECT_NEAR(diffuse_reflectance(1.4, 1), 0.52899, 6e-6);
  EXPECT_NEAR(diffuse_reflectance(1, 1.5), 0.09178, 6e-6);
  EXPECT_NEAR(diffuse_reflectance(1.5, 1), 0.59635, 6e-6);
  EXPECT_NEAR(diffuse_reflectance(1, 1.54), 0.09762, 6e-6);
  EXPECT_NEAR(diffuse_reflectance(1.54, 1), 0.61950, 6e-6);
  EXPECT_NEAR(diffuse_reflectance(1, 1.633), 0.11093, 6e-6);
  EXPECT_NEAR(diffuse_reflectance(1.633, 1), 0.66660, 6e-6);
}

// Source: optics reference, section 5e (phase function); kind: computed there, independently.
TEST(HenyeyGreenstein, ForwardBackwardAndForwardShare) {
  const struct {
    double g, forward, backward, forward_half;
  } rows[] = {
      {0.75, 2.22817, 0.006496, 0.93333}, {0.8, 3.58099, 0.004912, 0.94930}, {0.9, 15.11972, 0.002204, 0.97710}};
  for (const auto& row : rows) {
    EXPECT_NEAR(henyey_greenstein(row.g, 1), row.forward, 6e-6);
    EXPECT_NEAR(henyey_greenstein(row.g, -1), row.backward, 6e-7);
    constexpr int steps = 2'000'000;
    double sum = 0;
    for (int i = 0; i < steps; ++i) sum += henyey_greenstein(row.g, (i + 0.5) / steps) * 2 * std::numbers::pi / steps;
    EXPECT_NEAR(sum, row.forward_half, 6e-6);
  }
}

// Identity: the Legendre moments of the phase function are g^l. The samples' scatter bounds the test: 4.5 standard
// errors, a false alarm once in 150,000 seeds per moment; the seed is fixed.
TEST(HenyeyGreenstein, SamplesHaveTheMomentsOfTheDensity) {
  for (const double g : {-0.5, 0.0, 0.3, 0.8, 0.95}) {
    base::Stream random(11, 0, static_cast<std::uint64_t>(1000 * (g + 1)));
    constexpr int n = 400'000;
    double m1 = 0;
    double m2 = 0;
    double s1 = 0;
    double s2 = 0;
    for (int i = 0; i < n; ++i) {
      const double c = henyey_greenstein_cosine(g, random.uniform());
      const double p2 = 1.5 * c * c - 0.5;
      m1 += c / n;
      m2 += p2 / n;
      s1 += c * c / n;
      s2 += p2 * p2 / n;
    }
    EXPECT_NEAR(m1, g, 4.5 * std::sqrt((s1 - m1 * m1) / n)) << g;
    EXPECT_NEAR(m2, g * g, 4.5 * std::sqrt((s2 - m2 * m2) / n)) << g;
  }
}

TEST(QuickMath, AgreesWithTheLibrary) {
  for (int i = 0; i <= 4000; ++i) {
    const double turns = i / 4000.0;
    const base::OnCircle point = base::on_circle(turns);
    EXPECT_NEAR(point.cosine, std::cos(2 * std::numbers::pi * turns), 2e-15) << turns;
    EXPECT_NEAR(point.sine, std::sin(2 * std::numbers::pi * turns), 2e-15) << turns;
    EXPECT_NEAR(base::exp_minus(turns / 8) / std::exp(-turns / 8), 1, 5e-16) << turns;
  }
  EXPECT_EQ(base::exp_minus(1e300), 0);
}

TEST(Directions, TurnKeepsTheCosineAndRefractionObeysSnell) {
  base::Stream random(5, 0, 0);
  for (int i = 0; i < 2000; ++i) {
    const base::Direction d = isotropic(random.uniform(), random.uniform());
    const double cosine = 2 * random.uniform() - 1;
    const base::Direction after = turned(d, cosine, random.uniform());
    EXPECT_NEAR(dot(after, d), cosine, 1e-12);
    EXPECT_NEAR(dot(after, after), 1, 1e-14);
    const base::Direction normal = isotropic(random.uniform(), random.uniform());
    const double cos_here = -dot(normal, d);
    if (cos_here <= 0) continue;
    EXPECT_NEAR(dot(mirrored(d, normal), normal), cos_here, 1e-12);
    const Boundary b = fresnel(1.5, 1.2, cos_here);
    if (b.reflectance >= 1) continue;
    const base::Direction t = refracted(d, normal, 1.5, 1.2, cos_here, b.cos_beyond);
    // n sin is kept, and the direction stays in the plane of incidence.
    EXPECT_NEAR(1.2 * length(cross(t.vec(), normal.vec())), 1.5 * length(cross(d.vec(), normal.vec())), 1e-9);
    EXPECT_NEAR(dot(cross(t.vec(), normal.vec()), d), 0, 1e-9);
  }
}

}  // namespace
}  // namespace throughcure::transport
