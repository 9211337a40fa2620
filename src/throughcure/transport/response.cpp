#include "throughcure/transport/response.hpp"

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

}  // namespace

Hits find_hits(const ReverseRays& rays, const PosedTip& tip) {
  Hits hits;
  hits.media = rays.media;
  hits.batches = rays.batches;
  const TipDisc disc = tip.disc();
  const double index_ratio = rays.n_cell / rays.n_air;
  const double per_path = 4 * std::numbers::pi * index_ratio * index_ratio / static_cast<double>(rays.launched);
  const bool branches = !rays.path_after.empty();
  std::vector<std::uint32_t> cut;  // where the tip stopped each path, to know whether its branches are
  if (branches) cut.assign(rays.paths(), ReverseRays::kNone);
  for (std::size_t p = 0; p < rays.paths(); ++p) {
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
      const double radiance = radiance_per_mw(tip, from + u * t, -u);
      if (radiance > 0) {
        hits.share_per_mm2.push_back(per_path * static_cast<double>(piece.w) * radiance);
        hits.batch.push_back(rays.path_batch[p]);
        if (!rays.log_weights.empty()) hits.log_weight.push_back(rays.log_weights[i]);
        const std::size_t row = i * rays.media;
        const auto lengths = rays.lengths_mm.begin() + static_cast<std::ptrdiff_t>(row);
        hits.lengths_mm.insert(hits.lengths_mm.end(), lengths, lengths + static_cast<std::ptrdiff_t>(rays.media));
        const auto counts = rays.collisions.begin() + static_cast<std::ptrdiff_t>(row);
        hits.collisions.insert(hits.collisions.end(), counts, counts + static_cast<std::ptrdiff_t>(rays.media));
      }
      break;
    }
  }
  return hits;
}

base::Estimate fluence_per_mw(const Hits& hits) {
  std::vector<double> by_batch(hits.batches, 0);
  for (std::size_t h = 0; h < hits.share_per_mm2.size(); ++h) {
    const double v = hits.log_weight.empty() ? 1 : std::exp(static_cast<double>(hits.log_weight[h]));
    by_batch[hits.batch[h]] += v * hits.share_per_mm2[h];
  }
  return total_of_batches(by_batch);
}

base::Estimate total_of_batches(std::span<const double> by_batch) {
  const base::Estimate mean = base::estimate_from_batches(by_batch);
  const auto n = static_cast<double>(by_batch.size());
  return {mean.value * n, mean.se * n};
}

Reweighted reweighted_from(const base::Estimate& fluence_per_mw, std::size_t hits, double sum, double squares) {
  const auto n = static_cast<double>(hits);
  const double effective = !std::isfinite(squares) ? 0 : squares > 0 ? sum * sum / squares : n;
  return {fluence_per_mw, hits > 0 ? effective / n : 1, effective};
}

LogWeight log_weight(std::size_t media, const MediaChange& change) {
  LogWeight w{std::vector<double>(media, 0), std::vector<double>(media, 0)};
  for (std::size_t m = 0; m < media; ++m) {
    const double factor = change.mus_factor.empty() ? 1 : change.mus_factor[m];
    w.per_mm[m] = change.mua_per_mm.empty() ? 0 : change.mua_per_mm[m];
    if (factor == 1) continue;
    w.per_mm[m] += (factor - 1) * change.mus_per_mm[m];
    w.per_collision[m] = std::log(factor);
  }
  return w;
}

Reweighted reweighted(const Hits& hits, const MediaChange& change) {
  const LogWeight w = log_weight(hits.media, change);
  std::vector<double> by_batch(hits.batches, 0);
  double sum = 0;
  double squares = 0;
  for (std::size_t h = 0; h < hits.share_per_mm2.size(); ++h) {
    double exponent = hits.log_weight.empty() ? 0 : static_cast<double>(hits.log_weight[h]);
    for (std::size_t m = 0; m < hits.media; ++m) {
      exponent += w.per_collision[m] * hits.collisions[h * hits.media + m] -
                  w.per_mm[m] * static_cast<double>(hits.lengths_mm[h * hits.media + m]);
    }
    const double v = std::exp(exponent);
    sum += v;
    squares += v * v;
    by_batch[hits.batch[h]] += v * hits.share_per_mm2[h];
  }
  return reweighted_from(total_of_batches(by_batch), hits.share_per_mm2.size(), sum, squares);
}

}  // namespace throughcure::transport
