#include "throughcure/transport/response.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "throughcure/base/random.hpp"

namespace throughcure::transport {

namespace {

constexpr std::uint32_t kDrawPurpose = 0x4472'0000;

base::Vec widened(const std::array<float, 3>& v) {
  return {static_cast<double>(v[0]), static_cast<double>(v[1]), static_cast<double>(v[2])};
}
base::Point place(const AirPiece& piece) { return base::Point{} + widened(piece.r); }
/// Stored with seven digits; one step makes it unit to fourteen.
base::Direction way(const AirPiece& piece) { return base::renewed(widened(piece.u)); }

/// Calls `hit(path, piece, share)` for each path of the first `batches` that meets the lit side of the tip's face.
template <class Hit>
void for_each_hit(const ReverseRays& rays, const PosedTip& tip, std::uint32_t batches, Hit&& hit) {
  const TipDisc disc = tip.disc();
  const base::Direction up = tip.up();
  const double index_ratio = rays.n_cell / rays.n_air;
  const double launched =
      static_cast<double>(rays.launched) * static_cast<double>(batches) / static_cast<double>(rays.batches);
  const double per_path = 4 * std::numbers::pi * index_ratio * index_ratio / launched;
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
      if (radiance > 0) hit(p, i, per_path * static_cast<double>(piece.w) * radiance);
      break;
    }
  }
}

/// A path that meets the tip.
struct Met {
  std::size_t path = 0;
  std::size_t piece = 0;
  double share = 0;  ///< for 1 mW [1/mm2]
};

/// Keeps about `count` of them: a comb of so many even steps over the sum of what they give, moved by a random part of
/// a step, takes each as often as it has teeth there.
void draw_some(std::vector<Met>& met, const ReverseRays& rays, std::size_t count) {
  std::vector<double> gives;
  gives.reserve(met.size());
  double sum = 0;
  for (const Met& one : met) {
    const double v = rays.log_weights.empty() ? 1 : std::exp(static_cast<double>(rays.log_weights[one.piece]));
    gives.push_back(v * one.share);
    sum += gives.back();
  }
  const double step = sum / static_cast<double>(count);
  if (!(step > 0)) return;
  double tooth = step * base::Stream(rays.seed, kDrawPurpose + rays.stream, 0).uniform();
  double before = 0;
  std::size_t kept = 0;
  for (std::size_t i = 0; i < met.size(); ++i) {
    before += gives[i];
    double teeth = 0;
    while (tooth < before) {
      tooth += step;
      ++teeth;
    }
    if (teeth == 0) continue;
    met[kept] = met[i];
    met[kept].share *= teeth * step / gives[i];
    ++kept;
  }
  met.resize(kept);
}

}  // namespace

std::uint32_t batches_of(const ReverseRays& rays, std::uint64_t paths) {
  if (paths >= rays.launched) return rays.batches;
  const std::uint64_t per_batch = rays.launched / rays.batches;
  const std::uint64_t least = std::max<std::uint64_t>(2, (paths + per_batch - 1) / per_batch);
  return static_cast<std::uint32_t>(std::min<std::uint64_t>(rays.batches, least));
}

Hits find_hits(const ReverseRays& rays, const PosedTip& tip) {
  return find_hits(rays, tip, rays.batches, std::numeric_limits<std::size_t>::max());
}

Hits find_hits(const ReverseRays& rays, const PosedTip& tip, std::uint32_t batches, std::size_t most_hits) {
  Hits hits;
  hits.media = rays.media;
  hits.batches = std::min(batches, rays.batches);
  std::vector<Met> met;
  for_each_hit(rays, tip, hits.batches,
               [&](std::size_t path, std::size_t piece, double share) { met.push_back({path, piece, share}); });
  if (met.size() > most_hits) draw_some(met, rays, most_hits);
  hits.share_per_mm2.reserve(met.size());
  hits.batch.reserve(met.size());
  hits.lengths_mm.reserve(met.size() * rays.media);
  hits.collisions.reserve(met.size() * rays.media);
  for (const Met& one : met) {
    hits.share_per_mm2.push_back(one.share);
    hits.batch.push_back(rays.path_batch[one.path]);
    if (!rays.log_weights.empty()) hits.log_weight.push_back(rays.log_weights[one.piece]);
    const auto row = static_cast<std::ptrdiff_t>(one.piece * rays.media);
    const auto next = static_cast<std::ptrdiff_t>((one.piece + 1) * rays.media);
    hits.lengths_mm.insert(hits.lengths_mm.end(), rays.lengths_mm.begin() + row, rays.lengths_mm.begin() + next);
    hits.collisions.insert(hits.collisions.end(), rays.collisions.begin() + row, rays.collisions.begin() + next);
  }
  return hits;
}

base::Estimate fluence_per_mw(const ReverseRays& rays, const PosedTip& tip, std::uint32_t batches) {
  std::vector<double> by_batch(std::min(batches, rays.batches), 0);
  for_each_hit(rays, tip, std::min(batches, rays.batches), [&](std::size_t path, std::size_t piece, double share) {
    const double v = rays.log_weights.empty() ? 1 : std::exp(static_cast<double>(rays.log_weights[piece]));
    by_batch[rays.path_batch[path]] += v * share;
  });
  return total_of_batches(by_batch);
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
