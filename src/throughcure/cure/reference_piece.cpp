#include "throughcure/cure/reference_piece.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/base/estimate.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/optics/source.hpp"
#include "throughcure/transport/walk.hpp"

namespace throughcure::cure {

namespace {

using transport::MediumKind;
using transport::Packet;

constexpr std::uint32_t kReferencePurpose = 0x5265'0000;
constexpr std::size_t kBatches = 32;
constexpr std::size_t kScatterings = 5;
constexpr std::size_t kAbsorptions = 7;
constexpr double kContact_mm = 0.01;
/// Of the slice that stands for a depth given without its range.
constexpr double kHalfDepth_mm = 0.05;

struct Layer {
  anatomy::Scene scene;
  anatomy::MediumId resin = 0;
  anatomy::MediumId floor = 0;
};

Layer layer_of(double thickness_mm) {
  anatomy::SceneBuilder builder("air");
  Layer layer;
  layer.resin = builder.medium("resin");
  layer.floor = builder.medium("black floor");
  builder.add(layer.resin, {anatomy::half_space({0, 0, 0}, base::Direction{0, 0, -1}),
                            anatomy::half_space({0, 0, thickness_mm}, base::Direction{0, 0, 1})});
  builder.add(layer.floor, {anatomy::half_space({0, 0, thickness_mm}, base::Direction{0, 0, -1})});
  layer.scene = builder.scene();
  return layer;
}

/// Track length between the two depths, for every mua at once. Packets are walked with the least mua of the grid; what
/// more the others take follows from the path length in the resin.
struct Tally : transport::Unobserved {
  const ReferenceForm* form = nullptr;
  const std::vector<double>* mua_per_mm = nullptr;
  anatomy::MediumId resin = 0;
  double in_resin_mm = 0;
  std::vector<double> track;  ///< [mua]

  void flight(const Packet& before, double length, anatomy::MediumId id, const transport::Medium&, double) {
    if (id != resin) return;
    // Cut the flight at the two depths.
    const double z = before.r.z;
    const double rise = before.u.z;
    double from = 0;
    double to = length;
    if (rise != 0) {
      const double a = (form->from_mm - z) / rise;
      const double b = (form->to_mm - z) / rise;
      from = std::max(from, std::min(a, b));
      to = std::min(to, std::max(a, b));
    } else if (z < form->from_mm || z > form->to_mm) {
      to = 0;
    }
    if (to > from) {
      const double walked_with = mua_per_mm->front();
      for (std::size_t k = 0; k < track.size(); ++k) {
        const double mua = (*mua_per_mm)[k];
        const double so_far = (mua - walked_with) * in_resin_mm;
        track[k] += before.w * std::exp(-so_far - mua * from) * -std::expm1(-mua * (to - from)) / mua;
      }
    }
    in_resin_mm += length;
  }
};

}  // namespace

ReferenceTable simulate_reference(const ReferenceForm& form, const ReferenceGrid& grid,
                                  const optics::AngularShape& shape, std::uint64_t photons, std::uint64_t seed,
                                  const base::Running& running) {
  const Layer layer = layer_of(form.thickness_mm);
  const optics::TipSource source = optics::tip_source(optics::tip_map(optics::UniformDisc{}, 1), shape);
  const std::size_t scatterings = grid.reduced_scattering_per_mm.size();
  const std::uint64_t per_batch = std::max<std::uint64_t>(1, photons / kBatches);

  std::vector<std::vector<double>> tracks(scatterings * kBatches);
  base::for_each_batch(tracks.size(), running, "light in the reference piece", [&](std::size_t job) {
    const double mus = grid.reduced_scattering_per_mm[job / kBatches] / (1 - grid.g);
    const transport::Media media = {
        transport::air(),
        {.n = grid.n, .mua_per_mm = grid.mua_per_mm.front(), .mus_per_mm = mus, .g = grid.g},
        {.kind = MediumKind::metal, .reflectance = 0}};
    Tally tally;
    tally.form = &form;
    tally.mua_per_mm = &grid.mua_per_mm;
    tally.resin = layer.resin;
    tally.track.resize(grid.mua_per_mm.size());
    for (std::uint64_t i = 0; i < per_batch; ++i) {
      if (i % 256 == 0 && running.stop.stop_requested()) throw base::Interrupted();
      // The same streams for every mus': neighbours on the grid differ by the resin, not by luck.
      base::Stream random(seed, kReferencePurpose, (job % kBatches) * per_batch + i);
      const double u3 = random.uniform();
      const double u4 = random.uniform();
      const base::Direction u = optics::sample(source, 0.5, 0.5, u3, u4).direction;
      Packet packet{{0, 0, -kContact_mm}, u, 1, static_cast<std::uint32_t>(layer.scene.solids.size())};
      tally.in_resin_mm = 0;
      transport::walk(layer.scene, media, {}, packet, random, tally);
    }
    tracks[job] = std::move(tally.track);
  });

  ReferenceTable table;
  table.grid = grid;
  const double scale = 1 / ((form.to_mm - form.from_mm) * static_cast<double>(per_batch));
  for (std::size_t s = 0; s < scatterings; ++s) {
    for (std::size_t k = 0; k < grid.mua_per_mm.size(); ++k) {
      std::vector<double> means;
      means.reserve(kBatches);
      for (std::size_t b = 0; b < kBatches; ++b) means.push_back(tracks[s * kBatches + b][k] * scale);
      const base::Estimate e = base::estimate_from_batches(means);
      table.log_fluence.push_back(std::log(e.value));
      table.relative_se.push_back(e.se / e.value);
    }
  }
  return table;
}

double fluence_per_irradiance(const ReferenceTable& table, double mua_per_mm, double reduced_scattering_per_mm) {
  const NodePlace s = log_place_of(table.grid.reduced_scattering_per_mm, reduced_scattering_per_mm);
  const NodePlace a = straight_place_of(table.grid.mua_per_mm, mua_per_mm);
  const double* low = &table.log_fluence[s.i * table.grid.mua_per_mm.size() + a.i];
  const double* high = low + table.grid.mua_per_mm.size();
  return std::exp(std::lerp(std::lerp(low[0], low[1], a.share), std::lerp(high[0], high[1], a.share), s.share));
}

ReferenceOf reference_piece_of_material(const DrawSource& source, const optics::Light& light, const MouldEffort& effort,
                                        const base::Running& running) {
  const std::vector<BandInMaterial> bands = bands_that_cure(light, source.material);
  const ResinSpans spans = spans_of_draws(source, bands, effort.seed);
  const base::Sourced& depth = source.priors.criterion.reference_depth_mm;
  const ReferenceForm form{.from_mm = depth.low.value_or(depth.value - kHalfDepth_mm),
                           .to_mm = depth.high.value_or(depth.value + kHalfDepth_mm)};
  const ReferenceGrid grid{.mua_per_mm = spans.mua_per_mm.nodes(kAbsorptions),
                           .reduced_scattering_per_mm = spans.reduced_scattering_per_mm.nodes(kScatterings),
                           .n = source.material.optics.n.value,
                           .g = source.material.optics.g.value};
  const ReferenceTable table = simulate_reference(form, grid, light.shape, effort.photons, effort.seed, running);
  return [table, bands](const Draw& draw) {
    double sum = 0;
    for (const BandInMaterial& band : bands) {
      sum += band.power_share * band.initiator_weight *
             fluence_per_irradiance(table, mua_of(band, draw), reduced_scattering_of(band, draw));
    }
    return sum;
  };
}

ReferenceLight reference_light(const Criterion& criterion, double fluence_per_irradiance) {
  return {.phi_mw_cm2 = kReferenceIrradiance_mw_cm2 * fluence_per_irradiance,
          .seconds = criterion.reference_exposure_j_cm2.value * 1000 / kReferenceIrradiance_mw_cm2};
}

}  // namespace throughcure::cure
