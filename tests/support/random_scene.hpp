// Scenes thrown together at random: overlapping ellipsoids, boxes, cylinders and paraboloids.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/base/random.hpp"
#include "throughcure/transport/optics_laws.hpp"

namespace throughcure::tests {

inline anatomy::Scene random_scene(base::Stream& random) {
  using anatomy::Quadric;
  anatomy::SceneBuilder builder("air");
  const auto within = [&random](double lo, double hi) { return lo + (hi - lo) * random.uniform(); };
  const int count = 2 + static_cast<int>(6 * random.uniform());
  for (int i = 0; i < count; ++i) {
    const base::Point centre{within(-3, 3), within(-3, 3), within(-3, 3)};
    const base::Direction w = transport::isotropic(random.uniform(), random.uniform());
    const base::Frame frame = base::frame_about(w);
    const double kind = random.uniform();
    std::vector<Quadric> faces;
    if (kind < 0.4) {
      faces = {anatomy::ellipsoid(centre, {frame.u, frame.v, w}, {within(0.5, 4), within(0.5, 4), within(0.5, 4)})};
    } else if (kind < 0.6) {
      faces = anatomy::box(centre - base::Vec{within(0.2, 3), within(0.2, 3), within(0.2, 3)},
                           centre + base::Vec{within(0.2, 3), within(0.2, 3), within(0.2, 3)});
    } else if (kind < 0.8) {
      faces = {anatomy::cylinder(centre, w, within(0.3, 3)), anatomy::half_space(centre + w * within(0.2, 4), w),
               anatomy::half_space(centre - w * within(0.2, 4), -w)};
    } else {
      faces = {anatomy::paraboloid(centre, w, frame.u, within(1, 4), within(0.5, 3), within(0.5, 3)),
               anatomy::half_space(centre + w * within(1, 5), w)};
    }
    builder.add(builder.medium("medium " + std::to_string(i % 4)), faces);
  }
  return builder.scene();
}

}  // namespace throughcure::tests
