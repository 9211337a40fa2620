// Media and poses thrown together at random, for scenes of random_scene.hpp.
#pragma once

#include <cmath>

#include "support/random_scene.hpp"
#include "throughcure/transport/medium.hpp"
#include "throughcure/transport/posed_tip.hpp"

namespace throughcure::tests {

/// Air as the background; the others turbid, one of them perhaps metal.
inline transport::Media random_media(const anatomy::Scene& scene, base::Stream& random) {
  const auto within = [&random](double lo, double hi) { return lo + (hi - lo) * random.uniform(); };
  transport::Media media = {transport::air()};
  for (std::size_t m = 1; m < scene.medium_names.size(); ++m) {
    const bool metal = m == 3 && random.uniform() < 0.5;
    if (metal) {
      media.push_back(
          {.kind = transport::MediumKind::metal, .reflectance = within(0.3, 0.7), .specular = random.uniform()});
    } else {
      media.push_back({.n = within(1.3, 1.65),
                       .mua_per_mm = within(0.0, 0.15),
                       .mus_per_mm = random.uniform() < 0.2 ? 0 : within(0.5, 6),
                       .g = within(0, 0.9)});
    }
  }
  return media;
}

/// A tip of 8 mm that looks at the middle of the scene from outside all solids of random_scene.
inline transport::PosedTip random_tip(base::Stream& random) {
  const base::Direction from = transport::isotropic(random.uniform(), random.uniform());
  const double distance = 8 + 3 * random.uniform();
  const optics::AngularShape shape = optics::shape_of_half_angle(15 + 20 * random.uniform(), 0.2 * random.uniform());
  const optics::Beam beam =
      random.uniform() < 0.5 ? optics::Beam{optics::UniformDisc{}} : optics::Beam{optics::GaussianBeam{7}};
  const base::Direction aim = base::unit(-from * 1.0 + transport::isotropic(random.uniform(), random.uniform()) * 0.2);
  return transport::posed(optics::tip_source(optics::tip_map(beam, 8), shape), base::Point{} + from * distance, aim);
}

}  // namespace throughcure::tests
