// The demo's light in the poses of its cases: upright at the cusps, badly held over the neighbour, from the side.
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/transport/crossing.hpp"
#include "throughcure/transport/medium.hpp"
#include "throughcure/transport/posed_tip.hpp"

namespace throughcure::tests {

/// A tip of 8 mm with an even face.
inline optics::TipSource demo_tip() {
  return optics::tip_source(optics::tip_map(optics::UniformDisc{}, 8), optics::shape_of_half_angle(20, 0.2));
}

/// How far a flight through air goes before it meets anything else [mm].
inline double free_flight_mm(const anatomy::Scene& scene, const transport::Media& media, base::Point at,
                             const base::Direction& u) {
  double gone = 0;
  for (std::uint32_t here = scene.solid_at(at); media[scene.medium_of(here)].kind == transport::MediumKind::open;) {
    const transport::Crossing crossing = transport::next_crossing(scene, here, at, u);
    if (crossing.distance == transport::kForever) return transport::kForever;
    gone += crossing.distance;
    at = at + u * crossing.distance;
    here = crossing.beyond;
  }
  return gone;
}

/// The tip with its axis through `aim`, `standoff_mm` from what its face would touch first along the axis.
inline transport::PosedTip held(const anatomy::Scene& scene, const transport::Media& media, const base::Point& aim,
                                const base::Direction& axis, double standoff_mm) {
  constexpr double far_mm = 40;
  transport::PosedTip tip = transport::posed(demo_tip(), aim - axis * far_mm, axis);
  const double radius = tip.source.map.radius_mm;
  double free = free_flight_mm(scene, media, tip.centre, axis);
  for (int ring = 1; ring <= 8; ++ring) {
    for (int k = 0; k < 32; ++k) {
      const double turn = 2 * std::numbers::pi * k / 32;
      const double r = radius * ring / 8;
      const base::Point place = tip.centre + tip.across * (r * std::cos(turn)) + tip.up() * (r * std::sin(turn));
      free = std::min(free, free_flight_mm(scene, media, place, axis));
    }
  }
  tip.centre = tip.centre + axis * (free - standoff_mm);
  return tip;
}

/// The axis of a tip that comes from above, its body tilted towards distal.
inline base::Direction from_above(double tilt_deg) {
  const double tilt = tilt_deg * std::numbers::pi / 180;
  return {-std::sin(tilt), 0, std::cos(tilt)};
}

}  // namespace throughcure::tests
