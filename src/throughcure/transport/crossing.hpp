// Where a straight flight leaves the solid it is in: the geometry that a photon asks for.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/base/vec3.hpp"

namespace throughcure::transport {

inline constexpr double kForever = std::numeric_limits<double>::infinity();

/// Gaps and overlaps thinner than this [mm] are passed over: far below a wavelength, far above rounding.
inline constexpr double kTouching_mm = 1e-9;

/// The part of a ray inside a convex solid, with the faces through which it comes and goes.
struct Chord {
  double enters = -kForever;  ///< [mm] along the ray
  double leaves = kForever;
  std::uint32_t enters_by = 0;  ///< index into Scene::faces
  std::uint32_t leaves_by = 0;

  [[nodiscard]] bool empty() const { return !(enters < leaves); }
};

/// Cuts the chord with one face; false when nothing is left ahead of the ray's start.
inline bool cut(Chord& chord, const anatomy::Quadric& q, std::uint32_t face, const base::Point& p,
                const base::Direction& d) {
  // f along the ray: a t^2 + 2 h t + c
  const double c = value(q, p);
  const double h = 0.5 * dot(gradient(q, p), d);
  double a = 0;
  if (!q.is_plane()) {
    const base::Vec ad = anatomy::times(q.A, d.x, d.y, d.z);
    a = dot(ad, d);
  }
  if (a <= 1e-12 * q.bend) {
    if (h > 0) {
      const double t = -c / (2 * h);
      if (t < chord.leaves) chord.leaves = t, chord.leaves_by = face;
    } else if (h < 0) {
      const double t = -c / (2 * h);
      if (t > chord.enters) chord.enters = t, chord.enters_by = face;
    } else if (c > 0) {
      return false;
    }
  } else {
    const double discriminant = h * h - a * c;
    if (!(discriminant > 0)) return false;
    const double k = -(h + std::copysign(std::sqrt(discriminant), h));
    const double t1 = k / a;
    const double t2 = c / k;
    const double enters = std::min(t1, t2);
    const double leaves = std::max(t1, t2);
    if (enters > chord.enters) chord.enters = enters, chord.enters_by = face;
    if (leaves < chord.leaves) chord.leaves = leaves, chord.leaves_by = face;
  }
  return chord.leaves > kTouching_mm && chord.enters < chord.leaves;
}

/// The chord of one solid; empty when the ray misses it or it lies behind.
inline Chord chord_of(const anatomy::Scene& scene, const anatomy::Solid& solid, const base::Point& p,
                      const base::Direction& d) {
  Chord chord;
  for (std::uint32_t f = solid.first_face; f < solid.first_face + solid.face_count; ++f) {
    if (!cut(chord, scene.faces[f], f, p, d)) return {kForever, -kForever, 0, 0};
  }
  return chord;
}

/// A distance [mm] that a point outside a convex solid surely keeps from it: that from its farthest face.
inline double distance_outside(const anatomy::Scene& scene, const anatomy::Solid& solid, const base::Point& p) {
  double away = 0;
  for (std::uint32_t f = solid.first_face; f < solid.first_face + solid.face_count; ++f) {
    away = std::max(away, anatomy::distance_outside(scene.faces[f], p));
  }
  return away;
}

/// What a walk remembers of the solids around it: one that was d away cannot be met before d has been walked.
class Surroundings {
 public:
  /// Solids that are remembered; those of lower rank are looked at each time.
  static constexpr std::uint32_t kMost = 64;

  [[nodiscard]] bool surely_beyond(std::uint32_t solid, double reach_mm) const {
    return solid < kMost && walked_ + reach_mm + 2 * kTouching_mm < free_until_[solid];
  }
  void learn(std::uint32_t solid, double away_mm) {
    if (solid < kMost) free_until_[solid] = walked_ + away_mm;
  }
  void travel(double length_mm) { walked_ += length_mm; }

 private:
  double walked_ = 0;                          ///< [mm]
  std::array<double, kMost> free_until_ = {};  ///< on the scale of walked_, by solid
};

/// The next change of solid along a flight.
struct Crossing {
  double distance = kForever;  ///< [mm]; forever when the flight never leaves
  std::uint32_t beyond = 0;    ///< the solid after it
  std::uint32_t face = 0;      ///< the face that is crossed
};

/// Follows a flight from `p` inside solid `here` to where it leaves it or meets one of higher rank. Beyond `limit` [mm]
/// nobody asks: a crossing there may be another than the next, but lies beyond the limit too. `around` knows of the
/// solids from `p`.
inline Crossing next_crossing(const anatomy::Scene& scene, std::uint32_t here, const base::Point& p,
                              const base::Direction& d, double limit, Surroundings& around) {
  const auto count = static_cast<std::uint32_t>(scene.solids.size());
  Crossing crossing;
  crossing.beyond = here;
  bool by_leaving = false;

  // Leave the present solid.
  if (here < count) {
    const Chord chord = chord_of(scene, scene.solids[here], p, d);
    // Empty here means that the point lies on the boundary and the flight leads out: it leaves at once.
    crossing.distance = chord.empty() ? 0 : std::max(0.0, chord.leaves);
    crossing.face = chord.leaves_by;
    if (chord.empty()) {
      // The face we stand on is the one whose value is nearest to zero.
      double nearest = kForever;
      const anatomy::Solid& solid = scene.solids[here];
      for (std::uint32_t f = solid.first_face; f < solid.first_face + solid.face_count; ++f) {
        const double away = std::abs(value(scene.faces[f], p));
        if (away < nearest) nearest = away, crossing.face = f;
      }
    }
    by_leaving = crossing.distance < kForever;
  }

  // Meet a solid of higher rank first; of those met together the highest counts.
  for (std::uint32_t s = 0; s < std::min(here, count); ++s) {
    if (around.surely_beyond(s, std::min(crossing.distance, limit))) continue;
    const Chord chord = chord_of(scene, scene.solids[s], p, d);
    if (chord.empty()) continue;
    const double enters = std::max(0.0, chord.enters);
    if (enters < crossing.distance - kTouching_mm || (by_leaving && enters <= crossing.distance + kTouching_mm)) {
      crossing = {std::min(enters, crossing.distance), s, chord.enters_by};
      by_leaving = false;
    }
  }
  if (!by_leaving || crossing.distance > limit) return crossing;

  // Left the present solid: the next in rank that holds the far side takes over.
  crossing.beyond = count;
  for (std::uint32_t s = here + 1; s < count; ++s) {
    if (around.surely_beyond(s, crossing.distance)) continue;
    const Chord chord = chord_of(scene, scene.solids[s], p, d);
    if (chord.empty()) around.learn(s, distance_outside(scene, scene.solids[s], p));
    if (!chord.empty() && chord.enters <= crossing.distance + kTouching_mm &&
        chord.leaves > crossing.distance + kTouching_mm) {
      crossing.beyond = s;
      break;
    }
  }
  return crossing;
}

inline Crossing next_crossing(const anatomy::Scene& scene, std::uint32_t here, const base::Point& p,
                              const base::Direction& d) {
  Surroundings unknown;
  return next_crossing(scene, here, p, d, kForever, unknown);
}

/// A radius [mm] about `p` within which the solid does not change: a lower bound.
inline double clearance_about(const anatomy::Scene& scene, std::uint32_t here, const base::Point& p,
                              Surroundings& around) {
  const auto count = static_cast<std::uint32_t>(scene.solids.size());
  double radius = kForever;
  if (here < count) {
    const anatomy::Solid& solid = scene.solids[here];
    for (std::uint32_t f = solid.first_face; f < solid.first_face + solid.face_count; ++f) {
      radius = std::min(radius, value(scene.faces[f], p) > 0 ? 0.0 : anatomy::clearance(scene.faces[f], p));
    }
  }
  for (std::uint32_t s = 0; s < std::min(here, count) && radius > 0; ++s) {
    if (around.surely_beyond(s, radius)) continue;
    const double away = distance_outside(scene, scene.solids[s], p);
    around.learn(s, away);
    radius = std::min(radius, away);
  }
  return radius;
}

inline double clearance_about(const anatomy::Scene& scene, std::uint32_t here, const base::Point& p) {
  Surroundings unknown;
  return clearance_about(scene, here, p, unknown);
}

}  // namespace throughcure::transport
