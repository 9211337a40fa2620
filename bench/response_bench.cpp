// A new pose and 512 draws of the media, from paths that are already walked, against walking them again.
#include "contest.hpp"
#include "scenes.hpp"
#include "throughcure/transport/response.hpp"
#include "throughcure/transport/reverse.hpp"

namespace throughcure::bench {
namespace {

using transport::Hits;
using transport::MediaChange;
using transport::ReverseRays;

constexpr std::size_t kCells = 20;
constexpr std::size_t kHitsPerCell = 3000;
constexpr std::size_t kDraws = 512;
constexpr transport::Cell kCell{{4.2, 0, 4.6}, 0.15};
constexpr std::uint32_t kAnotherStream = 7;

/// Paths from one cell, as many as it takes for some 3000 to meet the tip; every cell gets a copy of its own.
std::vector<ReverseRays> rays_of_cells(const Case& c) {
  ReverseRays rays;
  for (std::uint64_t paths = 8000; find_hits(rays, tip_over_molar()).batch.size() < kHitsPerCell; paths *= 2) {
    rays = transport::run_reverse(c.scene, c.media, {.cell = kCell, .paths = paths}, {});
  }
  return std::vector<ReverseRays>(kCells, rays);
}

/// Draws of absorption and scattering in enamel, dentine and resin, by a stated rule.
std::vector<MediaChange> draws(const transport::Media& media) {
  std::vector<MediaChange> all(kDraws);
  for (std::size_t d = 0; d < kDraws; ++d) {
    base::Stream random(1, 0, d);
    MediaChange& change = all[d];
    for (std::size_t m = 0; m < media.size(); ++m) {
      const bool drawn = m == 1 || m == 2 || m == 4;
      const double more = drawn ? 0.2 * (random.uniform() - 0.5) * media[m].mua_per_mm : 0;
      change.mua_per_mm.push_back(more);
      change.mus_factor.push_back(drawn ? 0.98 + 0.04 * random.uniform() : 1);
      change.mus_per_mm.push_back(media[m].mus_per_mm);
    }
  }
  return all;
}

transport::Media changed(transport::Media media, const MediaChange& change) {
  for (std::size_t m = 0; m < media.size(); ++m) {
    media[m].mua_per_mm += change.mua_per_mm[m];
    media[m].mus_per_mm *= change.mus_factor[m];
  }
  return media;
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
        for (const ReverseRays& rays : cells) benchmark::DoNotOptimize(fluence_per_mw(find_hits(rays, tip)));
      },
      [&](std::uint64_t round) {
        const ReverseRays rays = transport::run_reverse(
            c.scene, c.media, {.cell = kCell, .paths = 8000, .seed = round, .stream = kAnotherStream}, {});
        benchmark::DoNotOptimize(fluence_per_mw(find_hits(rays, tip_over_molar(3 + shift))));
      });
  const Hits hits = find_hits(cells[0], tip_over_molar());
  state.counters["hits"] = static_cast<double>(hits.batch.size());
  const ReverseRays other = transport::run_reverse(
      c.scene, c.media, {.cell = kCell, .paths = cells[0].launched, .seed = 2, .stream = kAnotherStream}, {});
  expect(state, "fluence", fluence_per_mw(hits), fluence_per_mw(find_hits(other, tip_over_molar())));
}
BENCHMARK(new_pose)->Iterations(9)->UseManualTime()->Unit(benchmark::kMillisecond);

/// 512 draws of 20 cells all together, against one by one; every draw must be the same to 1e-5, and the first is walked
/// again in its media.
void draws_of_media(benchmark::State& state) {
  const Case c = molar();
  const std::vector<ReverseRays> cells = rays_of_cells(c);
  const std::vector<MediaChange> changes = draws(c.media);
  std::vector<Hits> hits;
  hits.reserve(cells.size());
  for (const ReverseRays& rays : cells) hits.push_back(find_hits(rays, tip_over_molar()));
  std::vector<transport::Reweighted> together;
  std::vector<transport::Reweighted> one_by_one;
  contest(
      state, {kCells * kDraws, kDraws},
      [&](std::uint64_t) {
        for (const Hits& h : hits) together = reweighted(h, changes);
      },
      [&](std::uint64_t) {
        one_by_one.clear();
        for (const MediaChange& change : changes) one_by_one.push_back(reweighted(hits.back(), change));
      });
  double worst = 0;
  for (std::size_t d = 0; d < kDraws; ++d) {
    worst = std::max(worst, std::abs(together[d].fluence_per_mw.value / one_by_one[d].fluence_per_mw.value - 1));
  }
  state.counters["worst_relative"] = worst;
  if (worst > 1e-5) state.SkipWithError("a draw worked on with others differs by more than 1e-5 from itself alone");
  const ReverseRays again =
      transport::run_reverse(c.scene, changed(c.media, changes[0]),
                             {.cell = kCell, .paths = cells[0].launched, .seed = 2, .stream = kAnotherStream}, {});
  expect(state, "fluence", together[0].fluence_per_mw, fluence_per_mw(find_hits(again, tip_over_molar())));
}
BENCHMARK(draws_of_media)->Iterations(15)->UseManualTime()->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace throughcure::bench
