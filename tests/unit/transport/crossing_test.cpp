// The geometry a photon asks for, against stepping along the ray in small steps.
#include "throughcure/transport/crossing.hpp"

#include <array>
#include <cmath>

#include <gtest/gtest.h>

#include "support/random_scene.hpp"
#include "throughcure/base/random.hpp"
#include "throughcure/transport/optics_laws.hpp"

namespace throughcure::transport {
namespace {

using base::Direction;
using base::Point;

TEST(Crossing, AgreesWithSmallStepsInRandomScenes) {
  for (std::uint64_t id = 0; id < 60; ++id) {
    base::Stream random(21, 0, id);
    const anatomy::Scene scene = tests::random_scene(random);
    for (int ray = 0; ray < 40; ++ray) {
      const Point p{10 * random.uniform() - 5, 10 * random.uniform() - 5, 10 * random.uniform() - 5};
      const Direction d = isotropic(random.uniform(), random.uniform());
      const std::uint32_t here = scene.solid_at(p);
      const Crossing crossing = next_crossing(scene, here, p, d);
      constexpr double step = 2e-3;
      const int steps = static_cast<int>(std::min(12.0, crossing.distance - 1e-6) / step);
      for (int i = 1; i < steps; ++i) {
        ASSERT_EQ(scene.solid_at(p + d * (i * step)), here) << "scene " << id << " ray " << ray << " at " << i * step;
      }
      if (crossing.distance < kForever) {
        ASSERT_EQ(scene.solid_at(p + d * (crossing.distance + 1e-6)), crossing.beyond)
            << "scene " << id << " ray " << ray;
        EXPECT_NEAR(value(scene.faces[crossing.face], p + d * crossing.distance), 0, 1e-9);
      }
    }
  }
}

TEST(Crossing, NothingChangesWithinTheClearance) {
  for (std::uint64_t id = 0; id < 60; ++id) {
    base::Stream random(22, 0, id);
    const anatomy::Scene scene = tests::random_scene(random);
    int roomy = 0;
    for (int i = 0; i < 300; ++i) {
      const Point p{10 * random.uniform() - 5, 10 * random.uniform() - 5, 10 * random.uniform() - 5};
      const std::uint32_t here = scene.solid_at(p);
      const double radius = std::min(20.0, clearance_about(scene, here, p));
      if (radius > 0.05) ++roomy;
      for (int k = 0; k < 20; ++k) {
        const Direction d = isotropic(random.uniform(), random.uniform());
        ASSERT_EQ(scene.solid_at(p + d * (radius * random.uniform())), here);
      }
    }
    EXPECT_GT(roomy, 30) << "a bound that is always zero would be true and useless";
  }
}

TEST(Quadrics, HoldTheirPoints) {
  const auto e = anatomy::ellipsoid({1, 2, 3}, {2, 3, 4});
  EXPECT_NEAR(value(e, {3, 2, 3}), 0, 1e-12);
  EXPECT_NEAR(value(e, {1, 5, 3}), 0, 1e-12);
  EXPECT_LT(value(e, {1, 2, 6.9}), 0);
  EXPECT_GT(value(e, {1, 2, 7.1}), 0);
  const auto c = anatomy::cylinder({1, 0, 0}, {0, 0, 1}, 2);
  EXPECT_NEAR(value(c, {3, 0, 77}), 0, 1e-12);
  EXPECT_LT(value(c, {1, 0, -9}), 0);
  const auto bowl = anatomy::paraboloid({0, 0, 0}, {0, 0, 1}, {1, 0, 0}, 2, 3, 4);
  EXPECT_NEAR(value(bowl, {3, 0, 2}), 0, 1e-12);
  EXPECT_NEAR(value(bowl, {0, 4, 2}), 0, 1e-12);
  EXPECT_LT(value(bowl, {0, 0, 1}), 0);
  EXPECT_GT(value(bowl, {0, 0, -1}), 0);
}

}  // namespace
}  // namespace throughcure::transport
