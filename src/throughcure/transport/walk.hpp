// The walk of one photon packet: the one piece of transport physics, shared by forward and reverse runs.
#pragma once

#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/base/quick_math.hpp"
#include "throughcure/base/random.hpp"
#include "throughcure/base/vec3.hpp"
#include "throughcure/transport/crossing.hpp"
#include "throughcure/transport/medium.hpp"
#include "throughcure/transport/optics_laws.hpp"

namespace throughcure::transport {

/// A photon packet: where it is, where it goes, what is left of it.
struct Packet {
  base::Point r;
  base::Direction u;
  double w = 1;             ///< weight: the share of the packet not yet absorbed
  std::uint32_t solid = 0;  ///< the solid it is in; Scene::solids.size() for the background
};

/// Where and how a packet starts.
struct Start {
  base::Point r;
  base::Direction u;
};

/// A light's tip as the photons meet it: an opaque disc with its face towards `axis`. Radius 0: no tip in the scene.
/// What meets it ends there; the light that a real face sends back is neglected (docs/physics.md, 4.5).
struct TipDisc {
  base::Point centre;
  base::Direction axis;
  double radius_mm = 0;
};

/// Below this weight a packet plays roulette: it goes on with `kRouletteShare` of the chances and that much more
/// weight.
inline constexpr double kRouletteWeight = 1e-3;
inline constexpr double kRouletteShare = 0.1;

/// Crossings in a row without moving before a packet is given up as lost; and crossings and reflections in all between
/// two collisions, as of light that goes round and round in a clear body. Lost weight is in the ledger; tests hold it
/// at 0.
inline constexpr int kLostAfter = 1000;
inline constexpr int kTrappedAfter = 100'000;

/// How a walk ended.
enum class Ending : std::uint8_t {
  escaped,   ///< left the scene through the background
  absorbed,  ///< nothing was left of it
  roulette,  ///< lost the game
  tip,       ///< met the light's tip
  lost       ///< the geometry could not place it
};

/// Where the flight meets the tip's disc; forever when it does not.
inline double distance_to_tip(const TipDisc& tip, const base::Point& r, const base::Direction& u) {
  if (tip.radius_mm <= 0) return kForever;
  const double along = dot(u, tip.axis);
  if (along == 0) return kForever;
  const double t = dot(tip.centre - r, tip.axis) / along;
  if (!(t > kTouching_mm)) return kForever;
  const base::Vec off = (r + u * t) - tip.centre;
  return dot(off, off) <= tip.radius_mm * tip.radius_mm ? t : kForever;
}

/// Walks one packet to its end. `Observer` is told of everything through inlined calls:
///   flight(packet_before, length_mm, medium_id, medium, w_after)   a straight piece inside one medium
///   collide(medium_id)                                             a scattering
///   cross(packet, from_medium, to_medium)                          a boundary between two media was passed
///   metal(packet, medium_id, w_lost)                               metal took w_lost
///   roulette(w_change)                                             negative: lost; positive: gained
/// and, where it has it, asked at each collision after `collide`:
///   steer(packet, random)                 may change the weight and keep copies, so that the mean stays; true to go on
/// A packet that is such a copy `starts_colliding`. Returns how it ended; `packet` is left as it was at the end.
template <class Observer>
Ending walk(const anatomy::Scene& scene, const Media& media, const TipDisc& tip, Packet& packet, base::Stream& random,
            Observer& observer, bool starts_colliding = false) {
  // A new direction by Henyey and Greenstein.
  const auto scatter = [&](const Medium& medium) {
    const double cosine = henyey_greenstein_cosine(medium.g, random.uniform());
    packet.u = turned(packet.u, cosine, random.uniform());
  };
  if (starts_colliding) scatter(media[scene.medium_of(packet.solid)]);
  double optical_depth = -std::log(random.uniform());  // scattering still to be passed before the next collision
  base::Point ball_centre;                             // within ball_radius of it the solid surely stays the same
  double ball_radius = 0;
  Surroundings around;
  int crossings = 0;  // since the last collision
  int stuck = 0;      // crossings in a row without moving

  while (true) {
    const anatomy::MediumId medium_id = scene.medium_of(packet.solid);
    const Medium& medium = media[medium_id];
    const double to_collision = medium.mus_per_mm > 0 ? optical_depth / medium.mus_per_mm : kForever;

    // Advance: to the collision when nothing can come between, otherwise to whatever comes first.
    Crossing crossing;
    double length = to_collision;
    bool collides = true;
    bool safe = false;
    if (to_collision < kForever) {
      safe = base::length(packet.r - ball_centre) + to_collision < ball_radius;
      if (!safe) {
        ball_centre = packet.r;
        ball_radius = clearance_about(scene, packet.solid, packet.r, around);
        safe = to_collision < ball_radius;
      }
    }
    if (!safe) {
      crossing = next_crossing(scene, packet.solid, packet.r, packet.u, to_collision, around);
      if (crossing.distance <= to_collision) {
        length = crossing.distance;
        collides = false;
      }
    }
    if (medium.kind == MediumKind::open) {
      const double to_tip = distance_to_tip(tip, packet.r, packet.u);
      if (to_tip <= length && to_tip < kForever) {
        observer.flight(packet, to_tip, medium_id, medium, packet.w);
        packet.r = packet.r + packet.u * to_tip;
        return Ending::tip;
      }
    }
    const double w_after = medium.mua_per_mm > 0 ? packet.w * base::exp_minus(medium.mua_per_mm * length) : packet.w;
    observer.flight(packet, length, medium_id, medium, w_after);
    packet.w = w_after;
    if (length == kForever) return w_after > 0 ? Ending::escaped : Ending::absorbed;
    packet.r = packet.r + packet.u * length;
    around.travel(length);

    // Roulette: end what no longer counts without favour.
    if (packet.w < kRouletteWeight) {
      if (packet.w <= 0) return Ending::absorbed;
      if (random.uniform() < kRouletteShare) {
        const double w = packet.w / kRouletteShare;
        observer.roulette(w - packet.w);
        packet.w = w;
      } else {
        observer.roulette(-packet.w);
        packet.w = 0;
        return Ending::roulette;
      }
    }

    // Collide: a new direction, a new depth to the next collision.
    if (collides) {
      observer.collide(medium_id);
      if constexpr (requires { observer.steer(packet, random); }) {
        if (!observer.steer(packet, random)) return Ending::roulette;
      }
      scatter(medium);
      optical_depth = -std::log(random.uniform());
      crossings = 0;
      continue;
    }

    // Cross: reflect or refract at the boundary; metal sends back or takes.
    if (medium.mus_per_mm > 0) optical_depth = std::fmax(0.0, optical_depth - medium.mus_per_mm * length);
    stuck = length > kTouching_mm ? 0 : stuck + 1;
    if (stuck > kLostAfter || ++crossings > kTrappedAfter) return Ending::lost;
    const anatomy::MediumId beyond_id = scene.medium_of(crossing.beyond);
    const Medium& beyond = media[beyond_id];
    const bool same = beyond_id == medium_id;
    if (!same && (beyond.kind == MediumKind::metal || beyond.n != medium.n)) {
      base::Direction normal = base::unit(gradient(scene.faces[crossing.face], packet.r));
      if (dot(normal, packet.u) > 0) normal = -normal;  // against the flight
      const double cos_here = std::fmin(1.0, -dot(normal, packet.u));
      if (beyond.kind == MediumKind::metal) {
        const double lost = packet.w * (1 - beyond.reflectance);
        observer.metal(packet, beyond_id, lost);
        packet.w -= lost;
        if (packet.w <= 0) return Ending::absorbed;
        const bool mirror = beyond.specular > 0 && random.uniform() < beyond.specular;
        packet.u = mirror ? mirrored(packet.u, normal) : lambertian(normal, random.uniform(), random.uniform());
        continue;
      }
      const Boundary boundary = fresnel(medium.n, beyond.n, cos_here);
      if (boundary.reflectance >= 1 || random.uniform() < boundary.reflectance) {
        packet.u = mirrored(packet.u, normal);
        continue;
      }
      packet.u = refracted(packet.u, normal, medium.n, beyond.n, cos_here, boundary.cos_beyond);
    }
    if (!same) observer.cross(packet, medium_id, beyond_id);
    packet.solid = crossing.beyond;
    ball_radius = 0;
  }
}

/// An observer that looks away; others take what they do not need from it.
struct Unobserved {
  static void flight(const Packet&, double, anatomy::MediumId, const Medium&, double) {}
  static void collide(anatomy::MediumId) {}
  static void cross(const Packet&, anatomy::MediumId, anatomy::MediumId) {}
  static void metal(const Packet&, anatomy::MediumId, double) {}
  static void roulette(double) {}
};

}  // namespace throughcure::transport
