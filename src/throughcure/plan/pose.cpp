#include "throughcure/plan/pose.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "throughcure/cure/draw.hpp"
#include "throughcure/transport/crossing.hpp"

namespace throughcure::plan {

namespace {

using base::Direction;
using base::Point;
using base::Vec;

constexpr double kFarAway_mm = 80;     ///< where a tip comes from: outside of every scene
constexpr double kLeastGap_mm = 0.01;  ///< a tip in contact keeps off by so much: no path ends on the face itself
constexpr int kRings = 8;              ///< of the face, looked at for contact
constexpr std::array<int, kRings + 1> kPointsOfRing{1, 6, 12, 18, 24, 30, 36, 42, 48};

double radians(double degrees) { return degrees * std::numbers::pi / 180; }

/// `d` turned by an angle towards `to`, which is square to it.
Direction turned_towards(const Direction& d, const Direction& to, double angle_rad) {
  return base::unit(d * std::cos(angle_rad) + to * std::sin(angle_rad));
}

/// How far from `start` along `axis` the first medium but the background stands; forever when none does.
double way_to_first_touch(const anatomy::Scene& scene, Point start, const Direction& axis) {
  double way = 0;
  std::uint32_t solid = scene.solid_at(start);
  while (scene.medium_of(solid) == scene.background) {
    const transport::Crossing crossing = transport::next_crossing(scene, solid, start, axis);
    if (crossing.distance == transport::kForever || way > 2 * kFarAway_mm) return transport::kForever;
    way += crossing.distance;
    start = start + axis * crossing.distance;
    solid = crossing.beyond;
  }
  return way;
}

double way_to_first_touch(const anatomy::Scene& scene, const Point& centre, const Direction& axis, double radius_mm) {
  const base::Frame across = base::frame_about(axis);
  double least = transport::kForever;
  for (int ring = 0; ring <= kRings; ++ring) {
    const int points = kPointsOfRing.at(static_cast<std::size_t>(ring));
    const double r = radius_mm * ring / kRings;
    for (int i = 0; i < points; ++i) {
      const double turn = 2 * std::numbers::pi * i / points;
      const Vec off = across.u * (r * std::cos(turn)) + across.v * (r * std::sin(turn));
      least = std::min(least, way_to_first_touch(scene, centre + off, axis));
    }
  }
  return least;
}

/// The root of x^6 = x + 1, whose powers make a sequence that fills five dimensions evenly.
constexpr double kFiveDimensions = 1.1347241384015194;

double fraction(double x) { return x - std::floor(x); }

}  // namespace

Held held(const Pose& pose) {
  const Direction straight = -anatomy::outward(pose.from);
  if (pose.tilt_deg == 0) return {pose.aim, straight, pose.standoff_mm};
  return {pose.aim, turned_towards(straight, -anatomy::outward(pose.tilt_to), radians(pose.tilt_deg)),
          pose.standoff_mm};
}

Held moved(const Held& pose, const HandError& error) {
  const base::Frame across = base::frame_about(pose.axis);
  const Vec axis = pose.axis.vec() + across.u * std::tan(radians(error.tilt_across_deg)) +
                   across.v * std::tan(radians(error.tilt_along_deg));
  return {pose.aim + (across.u * error.wander_across_mm + across.v * error.wander_along_mm), base::unit(axis),
          std::max(0.0, pose.standoff_mm + error.standoff_mm)};
}

std::vector<HandError> hand_errors(const Hand& hand, std::size_t count, std::size_t which) {
  const double standoff = hand.standoff_sd_mm.value;
  const double tilt = hand.tilt_sd_deg.value;
  const double wander = hand.wander_sd_mm.value;
  if (count < 2 || (standoff == 0 && tilt == 0 && wander == 0)) return {HandError{}};
  std::vector<HandError> errors;
  errors.reserve(count);
  for (std::size_t i = 0; i < count; ++i) {
    std::array<double, 5> z{};
    double step = 1;
    for (double& one : z) {
      step /= kFiveDimensions;
      const double u = fraction(0.5 + step * static_cast<double>(i + 1 + which * count));
      one = cure::drawn({.sd = 1}, std::clamp(u, 1e-6, 1 - 1e-6));
    }
    errors.push_back({standoff * z[0], tilt * z[1], tilt * z[2], wander * z[3], wander * z[4]});
  }
  return errors;
}

transport::PosedTip posed_tip(const anatomy::Scene& scene, const optics::TipSource& source, const Held& pose) {
  const Point start = pose.aim - pose.axis * kFarAway_mm;
  const double touches = way_to_first_touch(scene, start, pose.axis, source.map.radius_mm);
  const double way = (touches == transport::kForever ? kFarAway_mm : touches) - pose.standoff_mm - kLeastGap_mm;
  return transport::posed(source, start + pose.axis * way, pose.axis);
}

TipPlace place_of(const transport::PosedTip& tip) {
  return {tip.centre, tip.axis, tip.source.map.radius_mm, optics::half_angle_deg(tip.source.shape)};
}

double distance_to_aim_mm(const transport::PosedTip& tip, const Held& pose) {
  return dot(pose.aim - tip.centre, pose.axis);
}

}  // namespace throughcure::plan
