#include "throughcure/cure/mould_light.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "throughcure/anatomy/mould.hpp"
#include "throughcure/base/estimate.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/cure/resin_nodes.hpp"
#include "throughcure/transport/posed_tip.hpp"
#include "throughcure/transport/walk.hpp"

namespace throughcure::cure {

namespace {

using transport::MediumKind;
using transport::Packet;

constexpr std::uint32_t kMouldPurpose = 0x4d6f'0000;
constexpr std::size_t kBatches = 32;
constexpr double kAxisRadius_mm = 0.5;
/// Contact is a film of air this thick: the tip is not wetted by the resin.
constexpr double kContact_mm = 0.01;
// As anatomy's mould has them.
constexpr anatomy::MediumId kResin = 1;
constexpr anatomy::MediumId kSteel = 2;

/// Track length near the axis by depth, for every mua and wall at once: absorption enters by the path length in the
/// resin, the wall by the number of times it was met. Packets are walked with the clearest resin and the brightest wall
/// of the grid. One point drawn on each flight stands for all of it, true in the mean.
struct Tally : transport::Unobserved {
  const MouldGrid* grid = nullptr;
  base::Stream* random = nullptr;
  double depth_step_mm = 0;
  std::size_t depths = 0;
  double in_resin_mm = 0;
  int wall_hits = 0;
  std::vector<double> of_wall;  ///< what the flight is worth with each wall, before the resin took its share
  std::vector<double> track;    ///< [wall][mua][depth]

  void flight(const Packet& before, double length, anatomy::MediumId id, const transport::Medium&, double) {
    if (id != kResin) return;
    const double s = length * random->uniform();
    const base::Point p = before.r + before.u * s;
    const auto bin = static_cast<std::size_t>(std::max(0.0, p.z / depth_step_mm));
    if (p.x * p.x + p.y * p.y <= kAxisRadius_mm * kAxisRadius_mm && bin < depths) {
      const std::size_t absorptions = grid->mua_per_mm.size();
      for (std::size_t wall = 0; wall < grid->wall_reflectance.size(); ++wall) {
        const double dimmer = grid->wall_reflectance[wall] / grid->wall_reflectance.back();
        of_wall[wall] = before.w * length * std::pow(dimmer, wall_hits);
      }
      for (std::size_t k = 0; k < absorptions; ++k) {
        const double mua = grid->mua_per_mm[k];
        const double left = std::exp(-(mua - grid->mua_per_mm.front()) * in_resin_mm - mua * s);
        for (std::size_t wall = 0; wall < of_wall.size(); ++wall) {
          track[(wall * absorptions + k) * depths + bin] += of_wall[wall] * left;
        }
      }
    }
    in_resin_mm += length;
  }
  void metal(const Packet&, anatomy::MediumId id, double) {
    if (id == kSteel) ++wall_hits;
  }
  void start_packet(base::Stream& stream) {
    random = &stream;
    in_resin_mm = 0;
    wall_hits = 0;
  }
};

}  // namespace

MouldLight simulate_mould(const MouldForm& form, const MouldGrid& grid, const optics::TipSource& source,
                          std::uint64_t photons, std::uint64_t seed, const base::Running& running) {
  MouldLight light;
  light.grid = grid;
  light.depths = static_cast<std::size_t>(form.height_mm / light.depth_step_mm);
  const std::size_t variants = grid.mua_per_mm.size() * grid.wall_reflectance.size();
  const std::size_t scatterings = grid.reduced_scattering_per_mm.size();
  const anatomy::Scene scene = anatomy::iso4049_mould({.height_mm = form.height_mm, .bore_mm = form.bore_diameter_mm});
  const transport::PosedTip tip = transport::posed(source, {0, 0, -std::max(kContact_mm, form.standoff_mm)}, {0, 0, 1});
  const base::Direction up = tip.up();
  const std::uint64_t per_batch = std::max<std::uint64_t>(1, photons / kBatches);

  std::vector<std::vector<double>> tracks(scatterings * kBatches);
  base::for_each_batch(tracks.size(), running, "light in the mould", [&](std::size_t job) {
    const std::size_t s = job / kBatches;
    const double mus = grid.reduced_scattering_per_mm[s] / (1 - grid.g);
    const transport::Media media = {
        transport::air(),
        {.n = grid.n, .mua_per_mm = grid.mua_per_mm.front(), .mus_per_mm = mus, .g = grid.g},
        {.kind = MediumKind::metal, .reflectance = grid.wall_reflectance.back(), .specular = form.wall_specular},
        {.kind = MediumKind::metal, .reflectance = form.floor_reflectance}};
    Tally tally;
    tally.grid = &grid;
    tally.depth_step_mm = light.depth_step_mm;
    tally.depths = light.depths;
    tally.of_wall.resize(grid.wall_reflectance.size());
    tally.track.resize(variants * light.depths);
    for (std::uint64_t i = 0; i < per_batch; ++i) {
      if (i % 256 == 0 && running.stop.stop_requested()) throw base::Interrupted();
      // The same streams for every mus': neighbours on the grid differ by the resin, not by luck.
      base::Stream random(seed, kMouldPurpose, (job % kBatches) * per_batch + i);
      const double u1 = random.uniform();
      const double u2 = random.uniform();
      const double u3 = random.uniform();
      const double u4 = random.uniform();
      const optics::TipRay ray = optics::sample(source, u1, u2, u3, u4);
      Packet packet{tip.centre + tip.across * ray.x_mm + up * ray.y_mm,
                    base::unit(tip.across * ray.direction.x + up * ray.direction.y + tip.axis * ray.direction.z), 1,
                    static_cast<std::uint32_t>(scene.solids.size())};
      tally.start_packet(random);
      transport::walk(scene, media, tip.disc(), packet, random, tally);
    }
    tracks[job] = std::move(tally.track);
  });

  const double volume = std::numbers::pi * kAxisRadius_mm * kAxisRadius_mm * light.depth_step_mm;
  const double tip_area = std::numbers::pi * source.map.radius_mm * source.map.radius_mm;
  for (std::size_t s = 0; s < scatterings; ++s) {
    for (std::size_t k = 0; k < variants * light.depths; ++k) {
      std::vector<double> means;
      means.reserve(kBatches);
      for (std::size_t b = 0; b < kBatches; ++b) {
        means.push_back(tracks[s * kBatches + b][k] / static_cast<double>(per_batch) / volume * tip_area);
      }
      const base::Estimate e = base::estimate_from_batches(means);
      // A place that no packet reached says only that the light there is below what one packet would show.
      const double least = tip_area / (volume * static_cast<double>(per_batch * kBatches)) * 1e-3;
      light.log_fluence.push_back(std::log(std::max(e.value, least)));
      light.relative_se.push_back(e.value > 0 ? e.se / e.value : 1);
    }
  }
  return light;
}

std::vector<double> fluence_per_exitance(const MouldLight& light, double mua_per_mm, double reduced_scattering_per_mm,
                                         double wall_reflectance) {
  const MouldGrid& grid = light.grid;
  const NodePlace s = log_place_of(grid.reduced_scattering_per_mm, reduced_scattering_per_mm);
  const NodePlace w = straight_place_of(grid.wall_reflectance, wall_reflectance);
  // At a fixed path length the logarithm is straight.
  const NodePlace a = straight_place_of(grid.mua_per_mm, mua_per_mm);
  std::vector<double> log_sum(light.depths, 0);
  for (std::size_t corner = 0; corner < 8; ++corner) {
    const std::size_t ds = corner & 1U;
    const std::size_t dw = (corner >> 1U) & 1U;
    const std::size_t da = corner >> 2U;
    const double weight =
        (ds == 1 ? s.share : 1 - s.share) * (dw == 1 ? w.share : 1 - w.share) * (da == 1 ? a.share : 1 - a.share);
    const std::size_t row = ((s.i + ds) * grid.wall_reflectance.size() + w.i + dw) * grid.mua_per_mm.size() + a.i + da;
    for (std::size_t z = 0; z < light.depths; ++z) log_sum[z] += weight * light.log_fluence[row * light.depths + z];
  }
  for (double& v : log_sum) v = std::exp(v);
  return log_sum;
}

}  // namespace throughcure::cure
