#include "throughcure/transport/response.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace throughcure::transport {

namespace {

base::Vec widened(const std::array<float, 3>& v) {
  return {static_cast<double>(v[0]), static_cast<double>(v[1]), static_cast<double>(v[2])};
}
base::Point place(const AirPiece& piece) { return base::Point{} + widened(piece.r); }
/// Stored with seven digits; one step makes it unit to fourteen.
base::Direction way(const AirPiece& piece) { return base::renewed(widened(piece.u)); }

/// Calls `hit(path, piece, light)` for each path of the first `batches` that meets the lit side of the tip's face, with
/// what it is worth were it the only one launched.
template <class Hit>
void for_each_hit(const ReverseRays& rays, const PosedTip& tip, std::uint32_t batches, Hit&& hit) {
  const TipDisc disc = tip.disc();
  const base::Direction up = tip.up();
  const double index_ratio = rays.n_cell / rays.n_air;
  const double of_a_path = 4 * std::numbers::pi * index_ratio * index_ratio;
  // Paths lie in the order of their batches.
  const auto end = std::ranges::lower_bound(rays.path_batch, batches);
  const auto paths = static_cast<std::size_t>(end - rays.path_batch.begin());
  const bool branches = !rays.path_after.empty();
  std::vector<std::uint32_t> cut;  // where the tip stopped each path, to know whether its branches are
  if (branches) cut.assign(paths, ReverseRays::kNone);
  for (std::size_t p = 0; p < paths; ++p) {
    if (branches && rays.path_after[p] != ReverseRays::kNone && cut[rays.path_parent[p]] <= rays.path_after[p]) {
      cut[p] = 0;
      continue;
    }
    for (std::uint32_t i = rays.path_starts[p]; i < rays.path_starts[p + 1]; ++i) {
      const AirPiece& piece = rays.pieces[i];
      const base::Point from = place(piece);
      const base::Direction u = way(piece);
      const double t = distance_to_tip(disc, from, u);
      if (t == kForever || t > static_cast<double>(piece.length_mm)) continue;
      if (branches) cut[p] = i;
      const base::Vec off = from + u * t - tip.centre;
      const double radiance = tip.source.radiance_per_mw(dot(off, tip.across), dot(off, up), -dot(u, tip.axis));
      if (radiance > 0) hit(p, i, of_a_path * static_cast<double>(piece.w) * radiance);
      break;
    }
  }
}

}  // namespace

base::Estimate fluence_per_mw(const ReverseRays& rays, const PosedTip& tip, std::uint32_t batches) {
  std::vector<double> by_batch(std::min(batches, rays.batches), 0);
  for_each_hit(rays, tip, std::min(batches, rays.batches),
               [&](std::size_t path, std::size_t, double light) { by_batch[rays.path_batch[path]] += light; });
  const base::Estimate mean = base::estimate_from_batches(by_batch);
  const auto per_batch = static_cast<double>(rays.per_batch);
  return {mean.value / per_batch, mean.se / per_batch};
}

LightOfWalks light_of_walks(const ReverseRays& rays, const PosedTip& tip,
                            std::span<const std::vector<std::size_t>> groups, std::uint32_t batches) {
  const std::uint32_t taken = std::min(batches, rays.batches);
  LightOfWalks light;
  light.per_mw.assign(rays.walks, 0);
  light.account_mean.assign(groups.size(), 0);
  light.account_variance.assign(groups.size(), 0);
  double sum = 0;
  for_each_hit(rays, tip, taken, [&](std::size_t path, std::size_t piece, double one) {
    light.per_mw[rays.path_walk[path]] += one;
    for (std::size_t g = 0; g < groups.size(); ++g) {
      double of_group = 0;
      for (const std::size_t m : groups[g]) of_group += static_cast<double>(rays.account[piece * rays.media + m]);
      light.account_mean[g] += one * of_group;
      light.account_variance[g] += one * of_group * of_group;
    }
    sum += one;
    ++light.paths;
  });
  for (std::size_t g = 0; g < groups.size() && sum > 0; ++g) {
    light.account_mean[g] /= sum;
    light.account_variance[g] = std::max(0.0, light.account_variance[g] / sum - std::pow(light.account_mean[g], 2));
  }
  for (std::size_t w = 0; w < rays.walks; ++w) {
    light.launched.push_back(rays.launched_of(w, taken * rays.per_batch));
    if (light.launched[w] > 0) light.per_mw[w] /= static_cast<double>(light.launched[w]);
  }
  return light;
}

std::uint32_t batches_of(const ReverseRays& rays, std::uint64_t paths) {
  if (paths >= rays.launched) return rays.batches;
  const std::uint64_t least = std::max<std::uint64_t>(2, (paths + rays.per_batch - 1) / rays.per_batch);
  return static_cast<std::uint32_t>(std::min<std::uint64_t>(rays.batches, least));
}

}  // namespace throughcure::transport
