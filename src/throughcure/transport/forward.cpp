#include "throughcure/transport/forward.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/base/quick_math.hpp"
#include "throughcure/transport/walk.hpp"

namespace throughcure::transport {

namespace {

constexpr std::uint32_t kForwardPurpose = 2;
constexpr std::size_t kBatches = 64;

/// On the grid light is counted in whole pieces of 2^-32 mm: whole numbers add up to the same sum in any order, so a
/// thread needs one grid and not one for each batch. A cell has room for 2e9 mm, the track of as many whole packets.
constexpr double kPiecesPerMm = 0x1p32;
using GridPieces = std::vector<std::int64_t>;

/// Sums of one batch. Fluence in a cell is track length over volume, the weight taken along the track; on the grid one
/// point drawn on each flight stands for all of it, which is true in the mean and costs one write.
struct Tally : Unobserved {
  const ForwardInput* input = nullptr;
  base::Stream* random = nullptr;
  std::vector<double> track;
  GridPieces* grid = nullptr;
  std::vector<double> absorbed;
  double escaped = 0;
  double to_tip = 0;
  double won = 0;
  double lost = 0;

  void flight(const Packet& before, double length, anatomy::MediumId id, const Medium& medium, double w_after) {
    const double mua = medium.mua_per_mm;
    if (mua > 0) absorbed[id] += before.w - w_after;
    for (std::size_t c = 0; c < track.size(); ++c) {
      const Passage p = passage(input->cells[c], before.r, before.u, length);
      if (p.from < p.to) track[c] += before.w * along(mua, p.from, p.to);
    }
    if (grid != nullptr && length < kForever) put_on_grid(before, length, mua);
  }
  void metal(const Packet&, anatomy::MediumId id, double w_lost) { absorbed[id] += w_lost; }
  void roulette(double w_change) { won += w_change; }

 private:
  /// The integral of exp(-mua s) over [from, to].
  static double along(double mua, double from, double to) {
    const double x = mua * (to - from);
    if (x < 1e-6) return std::exp(-mua * from) * (to - from) * (1 - 0.5 * x);
    return std::exp(-mua * from) * -std::expm1(-x) / mua;
  }
  void put_on_grid(const Packet& before, double length, double mua) {
    const Grid& g = input->grid;
    const double s = length * random->uniform();
    const base::Point p = before.r + before.u * s;
    const std::optional<std::size_t> cell = g.cell_at(p);
    if (!cell) return;
    const double track_mm = before.w * base::exp_minus(mua * s) * length;
    // NOLINTNEXTLINE(bugprone-incorrect-roundings): never negative, and a tie may go either way
    (*grid)[*cell] += static_cast<std::int64_t>(track_mm * kPiecesPerMm + 0.5);
  }
};

void run_packet(const anatomy::Scene& scene, const Media& media, const TipDisc& disc, const Start& start,
                base::Stream& random, Tally& tally) {
  Packet packet{start.r, start.u, 1, scene.solid_at(start.r)};
  switch (walk(scene, media, disc, packet, random, tally)) {
    case Ending::escaped:
      tally.escaped += packet.w;
      break;
    case Ending::tip:
      tally.to_tip += packet.w;
      break;
    case Ending::lost:
      tally.lost += packet.w;
      break;
    case Ending::absorbed:
    case Ending::roulette:
      break;
  }
}

ForwardResult run(const anatomy::Scene& scene, const Media& media, const TipDisc& disc, const Starter& starter,
                  const ForwardInput& input, const base::Running& running) {
  const std::size_t batches = std::min<std::uint64_t>(kBatches, input.photons);
  const std::uint64_t per_batch = input.photons / batches;
  Tally empty;
  empty.input = &input;
  empty.track.resize(input.cells.size());
  empty.absorbed.resize(media.size());

  std::vector<Tally> tallies(batches);
  const std::size_t group = std::clamp<std::size_t>(running.threads, 1, batches);
  std::vector<GridPieces> grids(group, GridPieces(input.grid.cells()));  // by place in the group
  for (std::size_t first = 0; first < batches; first += group) {
    const std::size_t size = std::min(group, batches - first);
    base::Running part = running;
    if (running.progress) {
      part.progress = [&](double share, std::string_view what) {
        running.progress(
            (static_cast<double>(first) + share * static_cast<double>(size)) / static_cast<double>(batches), what);
      };
    }
    base::for_each_batch(size, part, "photons from the tip", [&](std::size_t k) {
      const std::size_t b = first + k;
      Tally tally = empty;
      if (!grids[k].empty()) tally.grid = &grids[k];
      for (std::uint64_t i = 0; i < per_batch; ++i) {
        if (i % 256 == 0 && running.stop.stop_requested()) throw base::Interrupted();
        base::Stream random(input.seed, kForwardPurpose, b * per_batch + i);
        tally.random = &random;
        run_packet(scene, media, disc, starter(random), random, tally);
      }
      tally.random = nullptr;
      tally.grid = nullptr;
      tallies[b] = std::move(tally);
    });
  }

  const auto n = static_cast<double>(per_batch);
  const auto estimate = [&](auto&& pick) {
    std::vector<double> means;
    means.reserve(batches);
    for (const Tally& t : tallies) means.push_back(pick(t) / n);
    return base::estimate_from_batches(means);
  };
  ForwardResult result;
  for (std::size_t c = 0; c < input.cells.size(); ++c) {
    const double volume = volume_mm3(input.cells[c]);
    result.fluence_per_mw.push_back(estimate([&](const Tally& t) { return t.track[c] / volume; }));
  }
  const double launched = n * static_cast<double>(batches);
  const double box = input.grid.edge_mm * input.grid.edge_mm * input.grid.edge_mm;
  result.grid_fluence_per_mw.reserve(input.grid.cells());
  for (std::size_t i = 0; i < input.grid.cells(); ++i) {
    std::int64_t pieces = 0;
    for (const GridPieces& grid : grids) pieces += grid[i];
    result.grid_fluence_per_mw.push_back(
        static_cast<float>(static_cast<double>(pieces) / kPiecesPerMm / box / launched));
  }
  for (std::size_t m = 0; m < media.size(); ++m) {
    result.absorbed.push_back(estimate([&](const Tally& t) { return t.absorbed[m]; }));
  }
  result.escaped = estimate([](const Tally& t) { return t.escaped; });
  result.to_tip = estimate([](const Tally& t) { return t.to_tip; });
  result.roulette = estimate([](const Tally& t) { return t.won; });
  double accounted = 0;
  double lost = 0;
  for (const Tally& t : tallies) {
    accounted += t.escaped + t.to_tip + t.lost - t.won;
    for (const double a : t.absorbed) accounted += a;
    lost += t.lost;
  }
  result.unaccounted = std::abs(accounted - launched) / launched;
  result.lost = lost / launched;
  return result;
}

}  // namespace

ForwardResult run_forward(const anatomy::Scene& scene, const Media& media, const PosedTip& tip,
                          const ForwardInput& input, const base::Running& running) {
  const Starter from_tip = [&](base::Stream& random) { return leaving(tip, random); };
  return run(scene, media, tip.disc(), from_tip, input, running);
}

ForwardResult run_forward(const anatomy::Scene& scene, const Media& media, const Starter& starter,
                          const ForwardInput& input, const base::Running& running) {
  return run(scene, media, {}, starter, input, running);
}

}  // namespace throughcure::transport
