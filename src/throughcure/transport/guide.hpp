// Where it pays to follow a path that is walked back: towards the places that the tips light, and their way.
#pragma once

#include <array>
#include <cmath>
#include <span>
#include <vector>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/transport/grid.hpp"
#include "throughcure/transport/medium.hpp"
#include "throughcure/transport/posed_tip.hpp"

namespace throughcure::transport {

/// How much light a path may be expected to meet, roughly, by its place and way, on a grid of boxes. A guided walk
/// splits where this grows and plays roulette where it falls. It decides what a run costs, never what it gives: any
/// guide leaves every pose, beam and draw unbiased, and a pose far from those it was made for only has a larger error.
struct Guide {
  struct Box {
    float worth = 0;                 ///< of a path there, whichever way it goes; above 0
    std::array<float, 3> rise{};     ///< added to 1, by way: how the worth of diffuse light grows along it
    float beam = 0;                  ///< added to it, in the mean over all ways: light on its first way
    float cosine = 0;                ///< mean cosine of that light's ways
    std::array<float, 3> against{};  ///< the way against it
  };
  Grid grid;
  std::vector<Box> boxes;

  /// The worth of a path at a place, before it scatters, whichever way it goes; outside the grid that of the nearest
  /// box.
  [[nodiscard]] double at(const base::Point& p) const { return static_cast<double>(boxes[grid.nearest_cell(p)].worth); }

  /// The same of a path that goes a way.
  [[nodiscard]] double at(const base::Point& p, const base::Direction& u) const {
    const Box& box = boxes[grid.nearest_cell(p)];
    const double diffuse = static_cast<double>(box.worth) * std::max(kLeastAgainst, 1 + along(box.rise, u));
    if (box.beam <= 0) return diffuse;
    const auto g = static_cast<double>(box.cosine);
    const double q = 1 + g * g - 2 * g * along(box.against, u);
    return diffuse + static_cast<double>(box.beam) * (1 - g * g) / (q * std::sqrt(q));
  }

 private:
  static constexpr double kLeastAgainst = 0.15;  ///< of a path that goes straight away from the light
  static double along(const std::array<float, 3>& v, const base::Direction& u) {
    return static_cast<double>(v[0]) * u.x + static_cast<double>(v[1]) * u.y + static_cast<double>(v[2]) * u.z;
  }
};

/// A guide for paths from `cells` to the given tips. Each tip's light is followed on its first way and then as diffuse
/// light; tips count alike, each by what it sends to the cells. Give the tips of the schedule and, where the tip will
/// be dragged, some others; one guide serves all cells of a state and every band. It reaches some 6 mm about the cells'
/// middle. Takes some 30 ms a tip.
/// Equation: by reciprocity a path back meets the light that the tips send to where it is against its way; diffuse
/// light there to first order in the way, fluence + 3 D grad(fluence) u, and light on its first way as Henyey and
/// Greenstein's lobe about it; both one collision later, so that g shortens them.
Guide guide_to(const anatomy::Scene& scene, const Media& media, std::span<const PosedTip> tips,
               std::span<const base::Point> cells);

}  // namespace throughcure::transport
