// A new pose, from paths that are already walked, against walking them again.
#include "contest.hpp"
#include "scenes.hpp"
#include "throughcure/transport/response.hpp"
#include "throughcure/transport/reverse.hpp"

namespace throughcure::bench {
namespace {

using transport::ReverseRays;

constexpr std::size_t kCells = 20;
constexpr std::size_t kHitsPerCell = 3000;
constexpr transport::Cell kCell{{4.2, 0, 4.6}, 0.15};
constexpr std::uint32_t kAnotherStream = 7;

/// Paths from one cell, as many as it takes for some 3000 to meet the tip; every cell gets a copy of its own.
std::vector<ReverseRays> rays_of_cells(const Case& c) {
  ReverseRays rays;
  for (std::uint64_t paths = 8000; light_of_walks(rays, tip_over_molar(), {}).paths < kHitsPerCell; paths *= 2) {
    rays = transport::run_reverse(c.scene, c.media, {.cell = kCell, .paths = paths}, {});
  }
  return std::vector<ReverseRays>(kCells, rays);
}

/// The same cell in the same media, walked again; a pose counts once for each of the 20 cells.
void new_pose(benchmark::State& state) {
  const Case c = molar();
  const std::vector<ReverseRays> cells = rays_of_cells(c);
  double shift = 0;
  contest(
      state, {kCells, 1},
      [&](std::uint64_t) {
        shift = 0.5 - shift;  // never the pose of before
        const transport::PosedTip tip = tip_over_molar(3 + shift);
        for (const ReverseRays& rays : cells) benchmark::DoNotOptimize(fluence_per_mw(rays, tip));
      },
      [&](std::uint64_t round) {
        const ReverseRays rays = transport::run_reverse(
            c.scene, c.media, {.cell = kCell, .paths = 8000, .seed = round, .stream = kAnotherStream}, {});
        benchmark::DoNotOptimize(fluence_per_mw(rays, tip_over_molar(3 + shift)));
      });
  state.counters["hits"] = static_cast<double>(light_of_walks(cells[0], tip_over_molar(), {}).paths);
  const ReverseRays other = transport::run_reverse(
      c.scene, c.media, {.cell = kCell, .paths = cells[0].launched, .seed = 2, .stream = kAnotherStream}, {});
  expect(state, "fluence", fluence_per_mw(cells[0], tip_over_molar()), fluence_per_mw(other, tip_over_molar()));
}
BENCHMARK(new_pose)->Iterations(9)->UseManualTime()->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace throughcure::bench
