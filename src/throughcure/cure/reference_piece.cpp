#include "throughcure/cure/reference_piece.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/optics/source.hpp"
#include "throughcure/transport/walk.hpp"

namespace throughcure::cure {

namespace {

using transport::MediumKind;
using transport::Packet;

constexpr std::uint32_t kReferencePurpose = 0x5265'0000;
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

ResinTable simulate_reference(const ReferenceForm& form, const ResinGrid& grid, const optics::AngularShape& shape,
                              std::uint64_t photons, std::uint64_t seed, const base::Running& running) {
  const Layer layer = layer_of(form.thickness_mm);
  const optics::TipSource source = optics::tip_source(optics::tip_map(optics::UniformDisc{}, 1), shape);
  const auto run = [&](double mus_per_mm, std::uint64_t first, std::uint64_t count) {
    const transport::Media media = {
        transport::air(),
        {.n = grid.n, .mua_per_mm = grid.mua_per_mm.front(), .mus_per_mm = mus_per_mm, .g = grid.g},
        {.kind = MediumKind::metal, .reflectance = 0}};
    Tally tally;
    tally.form = &form;
    tally.mua_per_mm = &grid.mua_per_mm;
    tally.resin = layer.resin;
    tally.track.resize(grid.mua_per_mm.size());
    for (std::uint64_t id = first; id < first + count; ++id) {
      if (id % 256 == 0 && running.stop.stop_requested()) throw base::Interrupted();
      base::Stream random(seed, kReferencePurpose, id);
      const double u3 = random.uniform();
      const double u4 = random.uniform();
      const base::Direction u = optics::sample(source, 0.5, 0.5, u3, u4).direction;
      Packet packet{{0, 0, -kContact_mm}, u, 1, static_cast<std::uint32_t>(layer.scene.solids.size())};
      tally.in_resin_mm = 0;
      transport::walk(layer.scene, media, {}, packet, random, tally);
    }
    return tally.track;
  };
  return tabulate(grid, photons, 1 / (form.to_mm - form.from_mm), "light in the reference piece", run, running);
}

ReferenceOf reference_piece_of_material(const DrawSource& source, const optics::Light& light, const MouldEffort& effort,
                                        const base::Running& running) {
  const std::vector<BandInMaterial> bands = bands_that_cure(light, source.material);
  const base::Sourced& depth = source.priors.criterion.reference_depth_mm;
  const ReferenceForm form{.from_mm = depth.low.value_or(depth.value - kHalfDepth_mm),
                           .to_mm = depth.high.value_or(depth.value + kHalfDepth_mm)};
  const ResinGrid grid = grid_of_draws(source, bands, effort.seed);
  const ResinTable table = simulate_reference(form, grid, light.shape, effort.photons, effort.seed, running);
  return [table, bands](const Draw& draw) {
    double sum = 0;
    for (const BandInMaterial& band : bands) {
      sum += band.power_share * band.initiator_weight *
             value_at(table, mua_of(band, draw), reduced_scattering_of(band, draw));
    }
    return sum;
  };
}

ReferenceLight reference_light(const Criterion& criterion, double fluence_per_irradiance) {
  return {.phi_mw_cm2 = kReferenceIrradiance_mw_cm2 * fluence_per_irradiance,
          .seconds = criterion.reference_exposure_j_cm2.value * 1000 / kReferenceIrradiance_mw_cm2};
}

}  // namespace throughcure::cure
