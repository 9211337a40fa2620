#include "throughcure/transport/guide.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "throughcure/transport/diffusion.hpp"
#include "throughcure/transport/first_flights.hpp"

namespace throughcure::transport {

namespace {

constexpr double kEdge_mm = 0.4;
constexpr double kHalf_mm = 6;     ///< the grid reaches this far from its middle each way
constexpr double kLeast = 1e-3;    ///< nothing is worth less than this share of the best: no place is given up
constexpr double kBeamCounts = 4;  ///< times its fluence: found best on the demo's floor (bench/NOTES.md)
constexpr double kSharpest = 0.8;  ///< mean cosine of the narrowest lobe: a tip is seen as wide as that
constexpr double kSteepest = 2;    ///< rise of diffuse light along a way

Grid grid_about(std::span<const base::Point> cells) {
  base::Vec sum{};
  for (const base::Point& cell : cells) sum = sum + (cell - base::Point{});
  const double share = cells.empty() ? 0 : 1 / static_cast<double>(cells.size());
  Grid grid{base::Point{} + sum * share - base::Vec{kHalf_mm, kHalf_mm, kHalf_mm}, kEdge_mm, {}};
  grid.count.fill(static_cast<std::uint32_t>(std::lround(2 * kHalf_mm / kEdge_mm)));
  return grid;
}

/// Rays are few: a box takes part of its neighbours' in the same medium.
void smooth(FirstFlights& flights, const Grid& grid, std::span<const anatomy::MediumId> medium_of) {
  constexpr double own = 2;
  const FirstFlights before = flights;
  for (std::size_t box = 0; box < grid.cells(); ++box) {
    double weight = own;
    double fluence = own * before.fluence[box];
    base::Vec flow = before.flow[box] * own;
    grid.neighbours(box, [&](std::size_t other, std::size_t, int) {
      if (medium_of[other] != medium_of[box]) return;
      weight += 1;
      fluence += before.fluence[other];
      flow = flow + before.flow[other];
    });
    flights.fluence[box] = fluence / weight;
    flights.flow[box] = flow * (1 / weight);
  }
}

/// All tips' light on its first way, each tip scaled to send the cells as much as any other. By reciprocity what a
/// source sends to the cells is what sources in the cells send to it.
FirstFlights first_flights_of(const anatomy::Scene& scene, const Media& media, std::span<const PosedTip> tips,
                              std::span<const base::Point> cells, const Grid& grid,
                              std::span<const anatomy::MediumId> medium_of) {
  std::vector<double> in_cells(grid.cells(), 0);
  for (const base::Point& cell : cells) in_cells[grid.nearest_cell(cell)] += 1;
  const std::vector<double> sent = diffuse(grid, medium_of, media, in_cells);
  FirstFlights all{std::vector<double>(grid.cells()), std::vector<double>(grid.cells()),
                   std::vector<base::Vec>(grid.cells())};
  for (const PosedTip& tip : tips) {
    const FirstFlights of_tip = first_flights(scene, media, tip, grid);
    double reaches = 0;
    for (std::size_t box = 0; box < grid.cells(); ++box) reaches += of_tip.scattered[box] * sent[box];
    if (!(reaches > 0)) continue;
    for (std::size_t box = 0; box < grid.cells(); ++box) {
      all.fluence[box] += of_tip.fluence[box] / reaches;
      all.scattered[box] += of_tip.scattered[box] / reaches;
      all.flow[box] = all.flow[box] + of_tip.flow[box] * (1 / reaches);
    }
  }
  smooth(all, grid, medium_of);
  return all;
}

/// The lobe of light on its first way, as a path meets it one collision later.
void add_beam(Guide::Box& box, const Medium& medium, double fluence, const base::Vec& flow, double best) {
  const double narrow = base::length(flow);
  if (!(narrow > 0)) return;
  box.beam = static_cast<float>(kBeamCounts * fluence / best);
  box.cosine = static_cast<float>(std::min(kSharpest, narrow / fluence * medium.g));
  const base::Direction against = -base::unit(flow);
  box.against = {static_cast<float>(against.x), static_cast<float>(against.y), static_cast<float>(against.z)};
}

/// How diffuse light grows along x, y and z, of itself.
void add_rise(Guide& guide, std::span<const anatomy::MediumId> medium_of, const Media& media) {
  for (std::size_t box = 0; box < guide.boxes.size(); ++box) {
    const Medium& medium = media[medium_of[box]];
    if (medium.kind != MediumKind::turbid) continue;
    std::array<double, 3> difference{};
    std::array<int, 3> sides{};
    guide.grid.neighbours(box, [&](std::size_t other, std::size_t axis, int side) {
      difference[axis] += side * static_cast<double>(guide.boxes[other].worth);
      ++sides[axis];
    });
    for (std::size_t axis = 0; axis < 3; ++axis) {
      if (sides[axis] < 2) continue;  // at the grid's rim
      const double slope = difference[axis] / (2 * guide.grid.edge_mm) / static_cast<double>(guide.boxes[box].worth);
      const double rise = std::clamp(3 * diffusion_mm(medium) * slope, -kSteepest, kSteepest);
      guide.boxes[box].rise[axis] = static_cast<float>(medium.g * rise);
    }
  }
}

/// A box whose middle lies in air or metal may hold a rim of something turbid: its paths are worth what those of the
/// best turbid neighbour are.
void fill_rims(Guide& guide, std::span<const anatomy::MediumId> medium_of, const Media& media) {
  const std::vector<Guide::Box> before = guide.boxes;
  const auto turbid = [&](std::size_t box) { return media[medium_of[box]].kind == MediumKind::turbid; };
  const auto worth = [&](std::size_t box) { return before[box].worth + before[box].beam; };
  for (std::size_t box = 0; box < guide.boxes.size(); ++box) {
    if (turbid(box)) continue;
    std::size_t best = box;
    guide.grid.neighbours(box, [&](std::size_t other, std::size_t, int) {
      if (turbid(other) && (best == box || worth(other) > worth(best))) best = other;
    });
    guide.boxes[box] = before[best];
  }
}

}  // namespace

Guide guide_to(const anatomy::Scene& scene, const Media& media, std::span<const PosedTip> tips,
               std::span<const base::Point> cells) {
  Guide guide{grid_about(cells), {}};
  const std::vector<anatomy::MediumId> medium_of = media_of_boxes(scene, guide.grid);
  const FirstFlights flights = first_flights_of(scene, media, tips, cells, guide.grid, medium_of);
  const std::vector<double> diffuse_light = diffuse(guide.grid, medium_of, media, flights.scattered);
  double best = 0;
  for (std::size_t box = 0; box < diffuse_light.size(); ++box) {
    best = std::max(best, diffuse_light[box] + flights.fluence[box]);
  }
  guide.boxes.resize(guide.grid.cells());
  for (std::size_t box = 0; box < guide.boxes.size(); ++box) {
    guide.boxes[box].worth = static_cast<float>(best > 0 ? std::max(diffuse_light[box] / best, kLeast) : 1);
    const Medium& medium = media[medium_of[box]];
    if (medium.kind != MediumKind::turbid) continue;
    add_beam(guide.boxes[box], medium, flights.fluence[box], flights.flow[box], best);
  }
  fill_rims(guide, medium_of, media);
  add_rise(guide, medium_of, media);
  return guide;
}

}  // namespace throughcure::transport
