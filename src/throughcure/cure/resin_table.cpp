#include "throughcure/cure/resin_table.hpp"

#include <algorithm>
#include <cmath>

#include "throughcure/base/estimate.hpp"
#include "throughcure/cure/resin_nodes.hpp"

namespace throughcure::cure {

namespace {

constexpr std::size_t kBatches = 32;
/// What a place that no packet reached is worth, in packets: its light is below what one would show.
constexpr double kUnseen = 1e-3;

}  // namespace

ResinTable tabulate(const ResinGrid& grid, std::uint64_t photons, double scale, std::string_view what,
                    const ResinRun& run, const base::Running& running) {
  const std::size_t scatterings = grid.reduced_scattering_per_mm.size();
  const std::uint64_t per_batch = std::max<std::uint64_t>(1, photons / kBatches);
  std::vector<std::vector<double>> sums(scatterings * kBatches);
  base::for_each_batch(sums.size(), running, what, [&](std::size_t job) {
    const double mus = grid.reduced_scattering_per_mm[job / kBatches] / (1 - grid.g);
    sums[job] = run(mus, (job % kBatches) * per_batch, per_batch);
  });

  ResinTable table;
  table.grid = grid;
  const double of_one = scale / static_cast<double>(per_batch);
  for (std::size_t s = 0; s < scatterings; ++s) {
    for (std::size_t k = 0; k < grid.mua_per_mm.size(); ++k) {
      std::vector<double> means;
      means.reserve(kBatches);
      for (std::size_t b = 0; b < kBatches; ++b) means.push_back(sums[s * kBatches + b][k] * of_one);
      const base::Estimate e = base::estimate_from_batches(means);
      table.log_value.push_back(std::log(std::max(e.value, kUnseen * of_one / static_cast<double>(kBatches))));
      table.relative_se.push_back(e.value > 0 ? e.se / e.value : 1);
    }
  }
  return table;
}

double value_at(const ResinTable& table, double mua_per_mm, double reduced_scattering_per_mm) {
  const NodePlace s = log_place_of(table.grid.reduced_scattering_per_mm, reduced_scattering_per_mm);
  const NodePlace a = straight_place_of(table.grid.mua_per_mm, mua_per_mm);
  const double* low = &table.log_value[s.i * table.grid.mua_per_mm.size() + a.i];
  const double* high = low + table.grid.mua_per_mm.size();
  return std::exp(std::lerp(std::lerp(low[0], low[1], a.share), std::lerp(high[0], high[1], a.share), s.share));
}

}  // namespace throughcure::cure
