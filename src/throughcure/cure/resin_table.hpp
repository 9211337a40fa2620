// A number that depends on a resin's mua and mus' alone, simulated over a grid of resins: one run for each mus', all
// mua counted at once by the path length in the resin.
#pragma once

#include <cstdint>
#include <functional>
#include <string_view>
#include <vector>

#include "throughcure/base/parallel.hpp"

namespace throughcure::cure {

/// Every mua with every mus'. Lists rise, values > 0; two or more.
struct ResinGrid {
  std::vector<double> mua_per_mm;
  std::vector<double> reduced_scattering_per_mm;  ///< each needs a run of its own
  double n = 1.53;
  double g = 0.8;
};

/// `relative_se`: standard error over the value, from 32 batches.
struct ResinTable {
  ResinGrid grid;
  std::vector<double> log_value;    ///< [mus'][mua]
  std::vector<double> relative_se;  ///< the same order; 1 where no packet counted
};

/// Packets `first` to `first + count` through a resin with this mus [1/mm]: the sum of what they count, for each mua of
/// the grid. Called from several threads.
using ResinRun = std::function<std::vector<double>(double mus_per_mm, std::uint64_t first, std::uint64_t count)>;

/// The table of `scale` times the mean over the packets. Every mus' gets the same packet numbers, so that neighbours on
/// the grid differ by the resin and not by luck.
ResinTable tabulate(const ResinGrid& grid, std::uint64_t photons, double scale, std::string_view what,
                    const ResinRun& run, const base::Running& running);

/// The value for one resin: straight lines of its logarithm against log mus' and mua. Outside the grid the nearest of
/// the grid stands in.
double value_at(const ResinTable& table, double mua_per_mm, double reduced_scattering_per_mm);

}  // namespace throughcure::cure
