// A light's tip where it is held: its source, its place and the way it points.
#pragma once

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

}  // namespace throughcure::transport
