#include "throughcure/transport/first_flights.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "throughcure/base/random.hpp"
#include "throughcure/transport/walk.hpp"

namespace throughcure::transport {

namespace {

constexpr std::uint64_t kRays = 8000;
constexpr std::uint32_t kPurpose = 0x4669'0000;
constexpr double kStepsPerCell = 3;
constexpr double kNothing = 1e-3;  ///< of a ray

/// Media in which a walk goes straight on and what would be scattered is taken away.
Media without_turns(const Media& media) {
  Media straight = media;
  for (Medium& medium : straight) {
    medium.mua_per_mm += reduced_scattering_per_mm(medium);
    medium.mus_per_mm = 0;
  }
  return straight;
}

/// Leaves a ray's light in the cells that it comes through.
struct Trail : Unobserved {
  const Grid* grid = nullptr;
  const Media* media = nullptr;  ///< as they are
  FirstFlights* left = nullptr;
  double of_a_ray = 0;    ///< power of a ray over a cell's volume
  double not_turned = 1;  ///< mean cosine to the first way

  void flight(const Packet& before, double length, anatomy::MediumId id, const Medium& straight, double) {
    if (straight.kind != MediumKind::turbid) return;
    const double turns_per_mm = reduced_scattering_per_mm((*media)[id]);
    const double longest = grid->edge_mm / kStepsPerCell;
    // A flight out of the scene goes on for ever.
    const double end = std::min(length, beyond_grid_mm(before.r));
    for (double s = 0; s < end;) {
      const double step = std::min(longest, end - s);
      const double middle = s + step / 2;
      const double w = before.w * std::exp(-straight.mua_per_mm * middle);
      if (w < kNothing) break;
      if (const auto cell = grid->cell_at(before.r + before.u * middle)) {
        const double fluence = of_a_ray * w * step;
        left->fluence[*cell] += fluence;
        left->scattered[*cell] += fluence * turns_per_mm;
        base::Vec& flow = left->flow[*cell];
        flow = flow + before.u * (fluence * not_turned * std::exp(-turns_per_mm * middle));
      }
      s += step;
    }
    not_turned *= std::exp(-turns_per_mm * length);
  }

 private:
  /// No flight from here is in the grid after this [mm].
  [[nodiscard]] double beyond_grid_mm(const base::Point& from) const {
    const base::Vec size = grid->size();
    return base::length(from - (grid->least + size * 0.5)) + base::length(size);
  }
};

}  // namespace

FirstFlights first_flights(const anatomy::Scene& scene, const Media& media, const PosedTip& tip, const Grid& grid) {
  const std::size_t cells = grid.cells();
  FirstFlights left{std::vector<double>(cells), std::vector<double>(cells), std::vector<base::Vec>(cells)};
  const Media straight = without_turns(media);
  Trail trail;
  trail.grid = &grid;
  trail.media = &media;
  trail.left = &left;
  trail.of_a_ray = 1 / (static_cast<double>(kRays) * grid.edge_mm * grid.edge_mm * grid.edge_mm);
  for (std::uint64_t id = 0; id < kRays; ++id) {
    base::Stream random(0, kPurpose, id);
    const Start start = leaving(tip, random);
    Packet packet{start.r, start.u, 1, scene.solid_at(start.r)};
    trail.not_turned = 1;
    walk(scene, straight, {}, packet, random, trail);
  }
  return left;
}

}  // namespace throughcure::transport
