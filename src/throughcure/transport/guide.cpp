#include "throughcure/transport/guide.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "throughcure/transport/crossing.hpp"

namespace throughcure::transport {

namespace {

constexpr double kHalf_mm = 6;  ///< the grid reaches this far from its middle each way
constexpr int kSweeps = 60;
constexpr double kOverRelaxed = 1.6;
constexpr double kClearest_per_mm = 0.1;
constexpr double kLeast = 1e-3;     ///< nothing is worth less than this share of the best: no place is given up
constexpr double kSharpened = 1.4;  ///< power of the light that is the worth: found best on the demo's floor
constexpr double kUnlit = 0.02;     ///< air that no tip shines on, likewise: other tips may

/// Whether air alone lies between two places.
bool sees(const anatomy::Scene& scene, const Media& media, base::Point from, const base::Point& to) {
  const base::Direction u = base::unit(to - from);
  double left = base::length(to - from);
  for (std::uint32_t here = scene.solid_at(from); media[scene.medium_of(here)].kind == MediumKind::open;) {
    const Crossing crossing = next_crossing(scene, here, from, u);
    if (crossing.distance >= left) return true;
    from = from + u * crossing.distance;
    left -= crossing.distance;
    here = crossing.beyond;
  }
  return false;
}

/// Light that the tips send to a place, as the mean radiance over some places on their faces; the best tip counts.
double shone_on(const anatomy::Scene& scene, const Media& media, std::span<const PosedTip> tips,
                const base::Point& at) {
  constexpr int places = 7;
  double best = 0;
  for (const PosedTip& tip : tips) {
    const double radius = tip.source.map.radius_mm;
    double sum = 0;
    for (int k = 0; k < places; ++k) {
      const double r = k == 0 ? 0 : 0.75 * radius;
      const double turn = 2 * std::numbers::pi * k / (places - 1);
      const base::Point place = tip.centre + tip.across * (r * std::cos(turn)) + tip.up() * (r * std::sin(turn));
      const base::Vec way = at - place;
      const double distance2 = dot(way, way);
      const base::Direction u = base::unit(way);
      const double radiance = radiance_per_mw(tip, place, u);
      if (radiance <= 0 || !sees(scene, media, at, place)) continue;
      const double area = std::numbers::pi * radius * radius;
      sum += radiance * std::min(1.0, dot(u, tip.axis) * area / (std::max(distance2, 0.25)) / (2 * std::numbers::pi));
    }
    best = std::max(best, sum / places);
  }
  return best;
}

/// The boxes of a guide while it is made.
struct Boxes {
  Guide guide;
  std::vector<anatomy::MediumId> medium;
  std::vector<double> light;

  [[nodiscard]] std::size_t size() const { return std::size_t{guide.count[0]} * guide.count[1] * guide.count[2]; }
  [[nodiscard]] std::array<std::size_t, 3> place(std::size_t box) const {
    const std::size_t nx = guide.count[0];
    const std::size_t ny = guide.count[1];
    return {box % nx, box / nx % ny, box / (nx * ny)};
  }
  [[nodiscard]] base::Point middle(std::size_t box) const {
    const auto [i, j, k] = place(box);
    const base::Vec steps{static_cast<double>(i) + 0.5, static_cast<double>(j) + 0.5, static_cast<double>(k) + 0.5};
    return guide.least + steps * guide.edge_mm;
  }
  /// Calls `each` with every box that shares a face with this one.
  template <class Each>
  void neighbours(std::size_t box, Each&& each) const {
    const std::array<std::size_t, 3> step = {1, guide.count[0], std::size_t{guide.count[0]} * guide.count[1]};
    const std::array<std::size_t, 3> at = place(box);
    for (std::size_t d = 0; d < 3; ++d) {
      if (at[d] > 0) each(box - step[d]);
      if (at[d] + 1 < guide.count[d]) each(box + step[d]);
    }
  }
};

/// Gives each box of air what the tips shine on it, over the most that any gets; asked only where it touches something.
void light_the_air(Boxes& boxes, const anatomy::Scene& scene, const Media& media, std::span<const PosedTip> tips) {
  const auto open = [&](std::size_t box) { return media[boxes.medium[box]].kind == MediumKind::open; };
  double most = 0;
  for (std::size_t box = 0; box < boxes.size(); ++box) {
    if (!open(box)) continue;
    bool edge = false;
    boxes.neighbours(box, [&](std::size_t other) { edge = edge || !open(other); });
    if (edge) boxes.light[box] = shone_on(scene, media, tips, boxes.middle(box));
    most = std::max(most, boxes.light[box]);
  }
  for (std::size_t box = 0; box < boxes.size(); ++box) {
    if (open(box)) boxes.light[box] = std::max(most > 0 ? boxes.light[box] / most : 0, kUnlit);
  }
}

/// Solves for diffuse light in all other boxes, by successive over-relaxation.
void diffuse(Boxes& boxes, const Media& media) {
  std::vector<double> spreads;  // D, by medium; air takes its neighbour's
  std::vector<double> loses;    // absorption over a box
  for (const Medium& m : media) {
    const bool metal = m.kind == MediumKind::metal;
    const double meets = m.mua_per_mm + m.mus_per_mm * (1 - m.g);
    spreads.push_back(metal ? 0 : 1 / (3 * std::max(meets, kClearest_per_mm)));
    loses.push_back(metal ? 1 : m.mua_per_mm * boxes.guide.edge_mm * boxes.guide.edge_mm);
  }
  for (int sweep = 0; sweep < kSweeps; ++sweep) {
    for (std::size_t box = 0; box < boxes.size(); ++box) {
      if (media[boxes.medium[box]].kind == MediumKind::open) continue;
      const double here = spreads[boxes.medium[box]];
      double in = 0;
      double out = loses[boxes.medium[box]];
      boxes.neighbours(box, [&](std::size_t other) {
        const bool air = media[boxes.medium[other]].kind == MediumKind::open;
        const double there = air ? here : spreads[boxes.medium[other]];
        const double passes = here + there > 0 ? 2 * here * there / (here + there) : 0;
        in += passes * boxes.light[other];
        out += passes;
      });
      if (out > 0) boxes.light[box] += kOverRelaxed * (in / out - boxes.light[box]);
    }
  }
}

}  // namespace

Guide guide_to(const anatomy::Scene& scene, const Media& media, std::span<const PosedTip> tips,
               const base::Point& about) {
  Boxes boxes;
  boxes.guide.least = about - base::Vec{kHalf_mm, kHalf_mm, kHalf_mm};
  boxes.guide.count.fill(static_cast<std::uint32_t>(std::lround(2 * kHalf_mm / boxes.guide.edge_mm)));
  boxes.light.resize(boxes.size());
  boxes.medium.reserve(boxes.size());
  for (std::size_t box = 0; box < boxes.size(); ++box) boxes.medium.push_back(scene.medium_at(boxes.middle(box)));
  light_the_air(boxes, scene, media, tips);
  diffuse(boxes, media);
  boxes.guide.worth.reserve(boxes.size());
  for (const double light : boxes.light) {
    boxes.guide.worth.push_back(static_cast<float>(std::pow(std::max(light, kLeast), kSharpened)));
  }
  return std::move(boxes.guide);
}

}  // namespace throughcure::transport
