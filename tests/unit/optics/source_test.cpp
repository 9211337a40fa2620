// Tips as sources: handbook irradiances, the whole power through a wide plane, and draws against their density.
#include "throughcure/optics/source.hpp"

#include <array>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "throughcure/base/random.hpp"

namespace throughcure::optics {
namespace {

constexpr double kPi = std::numbers::pi;

/// A picture with two hot spots off the middle and an offset of the tip's axis.
BeamImage two_spots() {
  BeamImage image = blank_image(101, 91, 0.1);
  image.tip_centre_x_px += 3;
  for (std::size_t row = 0; row < image.height; ++row) {
    for (std::size_t column = 0; column < image.width; ++column) {
      const double x = image.x_mm(column);
      const double y = image.y_mm(row);
      const auto spot = [&](double cx, double cy, double s) {
        return std::exp(-((x - cx) * (x - cx) + (y - cy) * (y - cy)) / (2 * s * s));
      };
      image.value[row * image.width + column] = 0.2 + spot(1.4, -0.5, 0.7) + 0.6 * spot(-1.5, 1.2, 1.1) - 0.01;
    }
  }
  return image;
}

struct Named {
  std::string name;
  TipSource source;
};
std::vector<Named> tips() {
  const AngularShape shape = {.core_exponent = 9.5, .tail_exponent = 0.5, .tail_share = 0.25};
  return {{"uniform", tip_source(tip_map(UniformDisc{}, 8), shape)},
          {"gaussian", tip_source(tip_map(GaussianBeam{5}, 7), shape)},
          {"picture", tip_source(tip_map(two_spots(), 8), shape)}};
}

/// The integral of `density` over a ring's sector by the midpoint rule.
double power_in(const TipMap& map, double rho0, double rho1, double phi0, double phi1) {
  constexpr int steps = 60;
  double sum = 0;
  for (int i = 0; i < steps; ++i) {
    const double rho = rho0 + (rho1 - rho0) * (i + 0.5) / steps;
    for (int k = 0; k < steps; ++k) {
      const double phi = phi0 + (phi1 - phi0) * (k + 0.5) / steps;
      sum += map.at(rho * std::cos(phi), rho * std::sin(phi)) * rho;
    }
  }
  return sum * (rho1 - rho0) * (phi1 - phi0) / (steps * steps);
}

TEST(TipMap, HoldsAllOfThePower) {
  for (const auto& [name, source] : tips()) {
    EXPECT_NEAR(power_in(source.map, 0, source.map.radius_mm, 0, kPi) +
                    power_in(source.map, 0, source.map.radius_mm, kPi, 2 * kPi),
                1, 2e-4)
        << name;
    EXPECT_EQ(source.map.at(source.map.radius_mm * 1.0001, 0), 0) << name;
  }
}

TEST(TipMap, OfAnEvenPictureIsTheUniformTip) {
  BeamImage even = blank_image(90, 90, 0.1);
  for (double& value : even.value) value = 3;
  const TipMap map = tip_map(even, 8);
  const TipMap uniform = tip_map(UniformDisc{}, 8);
  for (const double x : {-3.99, -1.0, 0.0, 2.2}) EXPECT_NEAR(map.at(x, 0.1), uniform.at(x, 0.1), 1e-12) << x;
}

TEST(TipMap, OfAPictureHasItsFormWithUpwardsUp) {
  const BeamImage image = two_spots();
  const TipMap map = tip_map(image, 8);
  const double scale = value_at_mm(image, 0, 0) / map.at(0, 0);
  for (const auto& [x, y] : std::vector<std::array<double, 2>>{{1.4, 0.5}, {-1.5, -1.2}, {2, 2}, {0, -3.5}}) {
    // The lattice's cells are 0.05 to 0.1 mm wide; the narrower spot has a sigma of 0.7 mm.
    EXPECT_NEAR(map.at(x, y) * scale, value_at_mm(image, x, -y), 0.01) << x << " " << y;
  }
}

TEST(TipMap, SaysHowMuchOfAPictureLiesInsideTheTip) {
  BeamImage even = blank_image(100, 100, 0.1);
  for (double& value : even.value) value = 1;
  EXPECT_NEAR(share_inside_tip(even, 10), kPi / 4, 0.005);
  EXPECT_EQ(share_inside_tip(blank_image(5, 5, 1), 8), 0);
}

// Source: E = pi L sin^2(alpha) on the axis of a Lambertian disc, alpha the half-angle that it fills. A handbook
// formula of photometry (common practice).
TEST(Source, OnTheAxisOfALambertianDisc) {
  const TipSource source = tip_source(tip_map(UniformDisc{}, 8), {});
  const double exitance = 1 / (kPi * 16);
  for (const double z : {0.01, 0.5, 2.0, 4.0, 8.0, 40.0}) {
    const double expected = exitance * 16 / (16 + z * z);
    EXPECT_NEAR(irradiance_per_mw(source, z, 0) / expected, 1, 2e-5) << z;
  }
}

// Source: configuration factor between coaxial parallel discs, F12 = (S - sqrt(S^2 - 4 (r2/r1)^2)) / 2 with
// S = 1 + (1 + R2^2) / R1^2, R = r / distance; Howell, "A catalog of radiation heat transfer configuration factors",
// C-41 (from memory).
TEST(Source, BetweenTwoDiscs) {
  const double r1 = 4;
  const TipSource source = tip_source(tip_map(UniformDisc{}, 2 * r1), {});
  for (const double r2 : {0.5, 2.0, 4.0, 9.0}) {
    for (const double z : {0.05, 0.3, 1.0, 8.0, 30.0}) {
      const double s = 1 + (1 + r2 * r2 / (z * z)) / (r1 * r1 / (z * z));
      const double factor = (s - std::sqrt(s * s - 4 * r2 * r2 / (r1 * r1))) / 2;
      EXPECT_NEAR(irradiance_per_mw(source, z, r2) * kPi * r2 * r2 / factor, 1, 2e-4) << r2 << " mm at " << z;
    }
  }
}

TEST(Source, AWidePlaneReceivesThePower) {
  for (const auto& [name, source] : tips()) {
    const double radius = 2000;
    EXPECT_NEAR(irradiance_per_mw(source, 2, radius) * kPi * radius * radius, 1, 3e-4) << name;
  }
}

TEST(Source, InContactASensorReadsTheExitanceBeforeIt) {
  for (const auto& [name, source] : tips()) {
    const double expected = power_in(source.map, 0, 2, 0, kPi) + power_in(source.map, 0, 2, kPi, 2 * kPi);
    EXPECT_NEAR(irradiance_per_mw(source, 0, 2) * kPi * 4, expected, 1e-3) << name;
    EXPECT_NEAR(irradiance_per_mw(source, 0.01, 2) * kPi * 4, expected, 0.01 * expected) << name;
    EXPECT_NEAR(irradiance_per_mw(source, 0, 20) * kPi * 400, 1, 1e-3) << name;
  }
}

/// Power through a disc on the axis by draws, against the quadrature.
TEST(Source, DrawsAndQuadratureGiveTheSameIrradiance) {
  constexpr int draws = 200'000;
  for (const auto& [name, source] : tips()) {
    base::Stream stream(11, 1, 0);
    int hits = 0;
    for (int i = 0; i < draws; ++i) {
      const double u1 = stream.uniform();
      const double u2 = stream.uniform();
      const double u3 = stream.uniform();
      const TipRay ray = sample(source, u1, u2, u3, stream.uniform());
      const double reach = 6 / ray.direction.z;
      hits += std::hypot(ray.x_mm + reach * ray.direction.x, ray.y_mm + reach * ray.direction.y) < 2.5 ? 1 : 0;
    }
    const double expected = irradiance_per_mw(source, 6, 2.5) * kPi * 2.5 * 2.5;
    const double se = std::sqrt(expected * (1 - expected) / draws);
    // Five standard errors: a false alarm in 2e-6 of the seeds for all three tips.
    EXPECT_NEAR(hits / static_cast<double>(draws), expected, 5 * se) << name;
  }
}

/// The chi-square that a sound sampler exceeds with probability 1e-6 (z = 4.753): Wilson and Hilferty's approximation.
double chi_square_limit(double degrees) {
  const double a = 2 / (9 * degrees);
  return degrees * std::pow(1 - a + 4.753 * std::sqrt(a), 3);
}

// Chi-square over 6 rings x 8 sectors x 5 cones x 4 turns; false alarm 3e-6 of the seeds for all three tips.
TEST(Source, DrawsFollowTheirDensity) {
  constexpr int rings = 6;
  constexpr int sectors = 8;
  constexpr int turns = 4;
  constexpr std::array<double, 6> cosines = {0, 0.5, 0.75, 0.88, 0.96, 1};
  constexpr int draws = 600'000;
  for (const auto& [name, source] : tips()) {
    std::vector<double> counts(static_cast<std::size_t>(rings * sectors * turns) * 5, 0);
    const double radius = source.map.radius_mm;
    const auto part = [](double x, double y, int parts) {
      const double share = std::atan2(y, x) / (2 * kPi) + 0.5;
      return std::min(parts - 1, static_cast<int>(share * parts));
    };
    base::Stream stream(7, 2, 0);
    for (int i = 0; i < draws; ++i) {
      const double u1 = stream.uniform();
      const double u2 = stream.uniform();
      const double u3 = stream.uniform();
      const TipRay ray = sample(source, u1, u2, u3, stream.uniform());
      const double c = ray.direction.z;
      ASSERT_DOUBLE_EQ(ray.density, source.radiance_per_mw(ray.x_mm, ray.y_mm, c) * c);
      ASSERT_NEAR(dot(ray.direction, ray.direction), 1, 1e-12);
      const double rho2 = (ray.x_mm * ray.x_mm + ray.y_mm * ray.y_mm) / (radius * radius);
      ASSERT_LE(rho2, 1 + 1e-12);
      const int ring = std::min(rings - 1, static_cast<int>(rho2 * rings));
      int cone = 0;
      while (cone < 4 && c >= cosines[static_cast<std::size_t>(cone) + 1]) ++cone;
      const int bin = ((ring * sectors + part(ray.x_mm, ray.y_mm, sectors)) * 5 + cone) * turns +
                      part(ray.direction.x, ray.direction.y, turns);
      ++counts[static_cast<std::size_t>(bin)];
    }
    double chi_square = 0;
    std::size_t bin = 0;
    for (int ring = 0; ring < rings; ++ring) {
      for (int sector = 0; sector < sectors; ++sector) {
        const double place = power_in(source.map, radius * std::sqrt(ring / 6.0), radius * std::sqrt((ring + 1) / 6.0),
                                      2 * kPi * (sector / 8.0 - 0.5), 2 * kPi * ((sector + 1) / 8.0 - 0.5));
        for (std::size_t cone = 0; cone < 5; ++cone) {
          const auto inside = [&](double c) { return share_inside(source.shape, std::acos(c) * 180 / kPi); };
          const double expected = draws * place * (inside(cosines[cone]) - inside(cosines[cone + 1])) / turns;
          for (int turn = 0; turn < turns; ++turn, ++bin) {
            ASSERT_GT(expected, 5) << name;
            chi_square += (counts[bin] - expected) * (counts[bin] - expected) / expected;
          }
        }
      }
    }
    EXPECT_LT(chi_square, chi_square_limit(static_cast<double>(counts.size()) - 1)) << name;
  }
}

}  // namespace
}  // namespace throughcure::optics
