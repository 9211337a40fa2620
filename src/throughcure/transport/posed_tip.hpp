// A light's tip where it is held: its source, its place and the way it points.
#pragma once

#include "throughcure/base/random.hpp"
#include "throughcure/base/vec3.hpp"
#include "throughcure/optics/source.hpp"
#include "throughcure/transport/walk.hpp"

namespace throughcure::transport {

/// The tip's face is a disc about `centre`; `axis` leaves the light; `across` is the tip's own x.
struct PosedTip {
  optics::TipSource source;
  base::Point centre;
  base::Direction axis{0, 0, 1};
  base::Direction across{1, 0, 0};

  [[nodiscard]] TipDisc disc() const { return {centre, axis, source.map.radius_mm}; }
  [[nodiscard]] base::Direction up() const { return base::unit(cross(axis.vec(), across.vec())); }
};

/// Poses a source with its x turned as little as possible.
inline PosedTip posed(optics::TipSource source, const base::Point& centre, const base::Direction& axis) {
  return {std::move(source), centre, axis, base::frame_about(axis).u};
}

/// Radiance for 1 mW [1/(mm2 sr)] that leaves the face at `place` into direction `u`.
inline double radiance_per_mw(const PosedTip& tip, const base::Point& place, const base::Direction& u) {
  const base::Vec off = place - tip.centre;
  return tip.source.radiance_per_mw(dot(off, tip.across), dot(off, tip.up()), dot(u, tip.axis));
}

/// How a packet leaves the tip: every one carries the same power.
inline Start leaving(const PosedTip& tip, base::Stream& random) {
  const double u1 = random.uniform();
  const double u2 = random.uniform();
  const double u3 = random.uniform();
  const double u4 = random.uniform();
  const optics::TipRay ray = optics::sample(tip.source, u1, u2, u3, u4);
  const base::Direction up = tip.up();
  const base::Direction& d = ray.direction;
  return {tip.centre + tip.across * ray.x_mm + up * ray.y_mm, base::unit(tip.across * d.x + up * d.y + tip.axis * d.z)};
}

}  // namespace throughcure::transport
