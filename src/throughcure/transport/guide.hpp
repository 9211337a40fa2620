// Where it pays to follow a path that is walked back: towards the places that the tips light.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/transport/medium.hpp"
#include "throughcure/transport/posed_tip.hpp"

namespace throughcure::transport {

/// How much light a path at a place may be expected to meet, roughly, on a grid of boxes. A guided walk splits where
/// this grows and plays roulette where it falls. It decides what a run costs, never what it gives: any guide leaves
/// every pose, beam and draw unbiased, and a pose far from those it was made for only has a larger error.
struct Guide {
  base::Point least{};
  double edge_mm = 0.4;
  std::array<std::uint32_t, 3> count{};
  std::vector<float> worth;  ///< by box, x fastest; above 0

  /// The worth of a place; outside the grid that of the nearest box.
  [[nodiscard]] float at(const base::Point& p) const {
    const std::size_t i = along(p.x - least.x, count[0]);
    const std::size_t j = along(p.y - least.y, count[1]);
    const std::size_t k = along(p.z - least.z, count[2]);
    return worth[(k * count[1] + j) * count[0] + i];
  }

 private:
  [[nodiscard]] std::size_t along(double d, std::uint32_t n) const {
    const double boxes = d / edge_mm;
    if (!(boxes > 0)) return 0;
    return boxes >= n ? n - 1 : static_cast<std::size_t>(boxes);
  }
};

/// A guide for paths from cells within some millimetres of `about` to the given tips. Boxes of air are worth what the
/// tips shine on them, past what stands in the way; in between diffuse light is solved for. Give the tips of the
/// schedule and, where the tip will be dragged, some others; one guide serves all cells of a state and every band.
/// Equation: diffusion, div(D grad phi) = mua phi, D = 1 / (3 (mua + mus')). Takes some tens of milliseconds.
Guide guide_to(const anatomy::Scene& scene, const Media& media, std::span<const PosedTip> tips,
               const base::Point& about);

}  // namespace throughcure::transport
