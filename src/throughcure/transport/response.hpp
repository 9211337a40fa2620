// What a posed tip gives in a cell, from the paths walked back from it: a dot product, for the nominal media or others.
#pragma once

#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "throughcure/base/estimate.hpp"
#include "throughcure/transport/posed_tip.hpp"
#include "throughcure/transport/reverse.hpp"

namespace throughcure::transport {

/// The paths of a cell that reach a posed tip: of each its share of the fluence rate for 1 mW [1/mm2], already over the
/// number launched; its weight, so that the nominal fluence rate is the sum of exp(log_weight) x share; and its account
/// by medium.
struct Hits {
  std::size_t media = 0;
  std::uint32_t batches = 0;
  std::vector<double> share_per_mm2;
  std::vector<float> log_weight{};  ///< as ReverseRays::log_weights; empty: 0
  std::vector<std::uint32_t> batch;
  std::vector<float> lengths_mm;          ///< [hit][medium]
  std::vector<std::uint16_t> collisions;  ///< [hit][medium]
};

inline constexpr std::uint32_t kAllBatches = std::numeric_limits<std::uint32_t>::max();

/// Finds the first piece of each path that meets the tip's face (or is stopped by the tip's back).
/// Equation: phi = 4 pi (n_cell / n_air)^2 (1/N) sum_i w_i L(x_i, -u_i), from the reciprocity of radiance over n^2
/// (Case & Zweifel 1967, Linear Transport Theory, section 2.7).
Hits find_hits(const ReverseRays& rays, const PosedTip& tip);

/// A rougher answer for less work: from the first so many batches alone, as if no more had been walked, and where more
/// than `most_hits` meet the tip, from about so many drawn in proportion to what they give and worth accordingly more.
/// Unbiased; of drawn hits the effective share says nothing.
Hits find_hits(const ReverseRays& rays, const PosedTip& tip, std::uint32_t batches, std::size_t most_hits);

/// The batches that hold so many launched paths, or all; two at least where there are two.
std::uint32_t batches_of(const ReverseRays& rays, std::uint64_t paths);

/// Fluence rate for 1 mW of radiant power [1/mm2] (times 100: mW/cm2 for 1 mW), nominal media.
base::Estimate fluence_per_mw(const Hits& hits);

/// The same without keeping the hits.
base::Estimate fluence_per_mw(const ReverseRays& rays, const PosedTip& tip, std::uint32_t batches = kAllBatches);

/// How the media of one draw differ from the nominal ones of the run, whatever else was walked. Scattering keeps its g.
struct MediaChange {
  std::vector<double> mua_per_mm;  ///< added, by medium [1/mm]
  std::vector<double> mus_factor;  ///< times, by medium; 1 for no change
  std::vector<double> mus_per_mm;  ///< nominal, by medium [1/mm]; needed where mus_factor is not 1
};

/// The logarithm of a changed path's weight: -sum per_mm l + sum per_collision k, by medium.
struct LogWeight {
  std::vector<double> per_mm;
  std::vector<double> per_collision;
};
LogWeight log_weight(std::size_t media, const MediaChange& change);

/// A fluence rate in changed media, and how many equal paths its weights are worth. The weight v of a hit is its
/// density in the changed media over that of the walks that made it, times the changed absorption.
struct Reweighted {
  base::Estimate fluence_per_mw;  ///< [1/mm2]
  double effective_share = 1;     ///< (sum v)^2 / (n sum v^2) over the n hits, [0..1]
  double effective_hits = 0;      ///< that times n
};

/// From the hits' number, the sum of their weights and of the weights' squares; sums that overflowed are worth no hit.
Reweighted reweighted_from(const base::Estimate& fluence_per_mw, std::size_t hits, double sum, double squares);

/// Reweights by path length and collisions: exp(log_weight - sum dmua l) times, by medium,
/// factor^k exp(-(factor - 1) mus l).
/// Walked in the nominal media alone, an answer below an effective share of 0.3 is not to be relied on: walk again in
/// media nearer to the draw's. Divided over J walks that differ much, a draw that one of them fits has an effective
/// share near 1/J by nature; there the effective hits say what an answer is worth.
Reweighted reweighted(const Hits& hits, const MediaChange& change);

/// The same for many draws, in single precision on the machine's widest vectors: some twenty times as fast a draw with
/// AVX-512, and within 1e-5 of the above (the sums of weights have seven digits). The last bits depend on the vector
/// set. Weights whose squares overflow single precision, above exp(44), give an effective share of 0.
std::vector<Reweighted> reweighted(const Hits& hits, std::span<const MediaChange> changes);

/// The sum over batches with its standard error.
base::Estimate total_of_batches(std::span<const double> by_batch);

}  // namespace throughcure::transport
