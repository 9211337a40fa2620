#include "throughcure/cure/mould_light.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/base/estimate.hpp"
#include "throughcure/base/problem.hpp"
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
constexpr anatomy::MediumId kResin = 1;

anatomy::Scene mould_scene(const MouldForm& form) {
  anatomy::SceneBuilder builder("air");
  const base::Direction down{0, 0, 1};
  const auto top = anatomy::half_space({0, 0, 0}, -down);
  const auto bottom = anatomy::half_space({0, 0, form.height_mm}, down);
  builder.add(builder.medium("resin"), {anatomy::cylinder({0, 0, 0}, down, form.bore_diameter_mm / 2), top, bottom});
  builder.add(builder.medium("steel"), {top, bottom});
  builder.add(builder.medium("paper"), {top});
  return builder.scene();
}

/// Track length near the axis by depth, for every mua at once: a packet's weight is that of metal alone, and absorption
/// enters by the path length in the resin. One point drawn on each flight stands for all of it, true in the mean.
struct Tally : transport::Unobserved {
  const MouldGrid* grid = nullptr;
  base::Stream* random = nullptr;
  double depth_step_mm = 0;
  std::size_t depths = 0;
  double in_resin_mm = 0;
  std::vector<double> track;  ///< [mua][depth]

  void flight(const Packet& before, double length, anatomy::MediumId id, const transport::Medium&, double) {
    if (id != kResin) return;
    const double s = length * random->uniform();
    const base::Point p = before.r + before.u * s;
    if (p.x * p.x + p.y * p.y <= kAxisRadius_mm * kAxisRadius_mm) {
      const auto bin = static_cast<std::size_t>(std::max(0.0, p.z / depth_step_mm));
      if (bin < depths) {
        for (std::size_t k = 0; k < grid->mua_per_mm.size(); ++k) {
          track[k * depths + bin] += before.w * length * std::exp(-grid->mua_per_mm[k] * (in_resin_mm + s));
        }
      }
    }
    in_resin_mm += length;
  }
};

struct Place {
  std::size_t i = 0;  ///< lower node
  double share = 0;   ///< of the upper one
};

/// Where a value lies between the nodes, in the logarithm; the ends stand in for what is outside.
Place place_of(const std::vector<double>& nodes, double value) {
  if (value <= nodes.front()) return {0, 0};
  if (value >= nodes.back()) return {nodes.size() - 2, 1};
  const auto upper = static_cast<std::size_t>(std::upper_bound(nodes.begin(), nodes.end(), value) - nodes.begin());
  return {upper - 1, std::log(value / nodes[upper - 1]) / std::log(nodes[upper] / nodes[upper - 1])};
}

}  // namespace

MouldLight simulate_mould(const MouldForm& form, const MouldGrid& grid, const optics::TipSource& source,
                          std::uint64_t photons, std::uint64_t seed, const base::Running& running) {
  MouldLight light;
  light.grid = grid;
  light.depths = static_cast<std::size_t>(form.height_mm / light.depth_step_mm);
  const std::size_t absorptions = grid.mua_per_mm.size();
  const std::size_t scatterings = grid.reduced_scattering_per_mm.size();
  const anatomy::Scene scene = mould_scene(form);
  const transport::PosedTip tip = transport::posed(source, {0, 0, -std::max(kContact_mm, form.standoff_mm)}, {0, 0, 1});
  const base::Direction up = tip.up();
  const std::uint64_t per_batch = std::max<std::uint64_t>(1, photons / kBatches);

  std::vector<std::vector<double>> tracks(scatterings * kBatches);
  base::for_each_batch(tracks.size(), running, "light in the mould", [&](std::size_t job) {
    const std::size_t s = job / kBatches;
    const double mus = grid.reduced_scattering_per_mm[s] / (1 - grid.g);
    const transport::Media media = {
        transport::air(),
        {.n = grid.n, .mus_per_mm = mus, .g = grid.g},
        {.kind = MediumKind::metal, .reflectance = form.wall_reflectance, .specular = form.wall_specular},
        {.kind = MediumKind::metal, .reflectance = form.floor_reflectance}};
    Tally tally;
    tally.grid = &grid;
    tally.depth_step_mm = light.depth_step_mm;
    tally.depths = light.depths;
    tally.track.resize(absorptions * light.depths);
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
      tally.random = &random;
      tally.in_resin_mm = 0;
      transport::walk(scene, media, tip.disc(), packet, random, tally);
    }
    tracks[job] = std::move(tally.track);
  });

  const double volume = std::numbers::pi * kAxisRadius_mm * kAxisRadius_mm * light.depth_step_mm;
  const double tip_area = std::numbers::pi * source.map.radius_mm * source.map.radius_mm;
  for (std::size_t s = 0; s < scatterings; ++s) {
    for (std::size_t k = 0; k < absorptions * light.depths; ++k) {
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

std::vector<double> fluence_per_exitance(const MouldLight& light, double mua_per_mm, double reduced_scattering_per_mm) {
  const Place s = place_of(light.grid.reduced_scattering_per_mm, reduced_scattering_per_mm);
  // Straight in mua itself: at a fixed path length the logarithm is.
  const std::vector<double>& nodes = light.grid.mua_per_mm;
  const double mua = std::clamp(mua_per_mm, nodes.front(), nodes.back());
  const auto upper = std::clamp<std::ptrdiff_t>(std::upper_bound(nodes.begin(), nodes.end(), mua) - nodes.begin(), 1,
                                                static_cast<std::ptrdiff_t>(nodes.size()) - 1);
  const auto a = static_cast<std::size_t>(upper - 1);
  const double share = (mua - nodes[a]) / (nodes[a + 1] - nodes[a]);
  const auto at = [&](std::size_t i, std::size_t k, std::size_t z) {
    return light.log_fluence[(i * nodes.size() + k) * light.depths + z];
  };
  std::vector<double> fluence(light.depths);
  for (std::size_t z = 0; z < light.depths; ++z) {
    const double low = (1 - share) * at(s.i, a, z) + share * at(s.i, a + 1, z);
    const double high = (1 - share) * at(s.i + 1, a, z) + share * at(s.i + 1, a + 1, z);
    fluence[z] = std::exp((1 - s.share) * low + s.share * high);
  }
  return fluence;
}

}  // namespace throughcure::cure
