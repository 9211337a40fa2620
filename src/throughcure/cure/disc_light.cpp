#include "throughcure/cure/disc_light.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>
#include <vector>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/optics/bands.hpp"
#include "throughcure/transport/walk.hpp"

namespace throughcure::cure {

namespace {

using transport::Packet;

constexpr std::uint32_t kDiscPurpose = 0x4469'0000;
constexpr double kContact_mm = 0.01;
constexpr anatomy::MediumId kAir = 0;

anatomy::Scene scene_of(const DiscForm& form) {
  anatomy::SceneBuilder builder("air");
  builder.add(builder.medium("resin"), {anatomy::half_space({0, 0, 0}, base::Direction{0, 0, -1}),
                                        anatomy::half_space({0, 0, form.thickness_mm}, base::Direction{0, 0, 1}),
                                        anatomy::cylinder({0, 0, 0}, {0, 0, 1}, form.diameter_mm / 2)});
  return builder.scene();
}

bool within(double x, double y, double diameter_mm) { return x * x + y * y <= diameter_mm * diameter_mm / 4; }

/// What a detector makes of a packet in air at `r` that flies on along `u`.
struct Reads {
  double far_face_mm = 0;
  bool operator()(const IntegratingSphere&, const base::Point&, const base::Direction&) const { return true; }
  bool operator()(const IrradianceSensor& sensor, const base::Point& r, const base::Direction& u) const {
    const double t = (far_face_mm + sensor.gap_mm - r.z) / u.z;
    return within(r.x + t * u.x, r.y + t * u.y, sensor.aperture_mm);
  }
};

/// What the detector counts, for every mua at once. Packets are walked with the least mua of the grid; what more the
/// others take follows from the path length in the resin.
struct Tally : transport::Unobserved {
  const DiscForm* form = nullptr;
  const std::vector<double>* mua_per_mm = nullptr;
  double in_resin_mm = 0;
  std::vector<double> read;  ///< [mua]

  void flight(const Packet&, double length, anatomy::MediumId id, const transport::Medium&, double) {
    if (id != kAir) in_resin_mm += length;
  }
  void cross(const Packet& packet, anatomy::MediumId, anatomy::MediumId to) {
    constexpr double kOnTheFace_mm = 1e-6;
    const bool by_far_face = to == kAir && packet.u.z > 0 && packet.r.z > form->thickness_mm - kOnTheFace_mm;
    if (!by_far_face) return;
    const auto reads = [&](const auto& detector) { return Reads{form->thickness_mm}(detector, packet.r, packet.u); };
    if (!std::visit(reads, form->detector)) return;
    for (std::size_t k = 0; k < read.size(); ++k) {
      read[k] += packet.w * std::exp(-((*mua_per_mm)[k] - mua_per_mm->front()) * in_resin_mm);
    }
  }
};

/// A packet as the light sends it, just before the near face.
Packet launched(const DiscLighting& lighting, base::Stream& random) {
  constexpr std::uint32_t kOutside = 1;  // after the one solid
  const auto* tip = std::get_if<optics::TipSource>(&lighting);
  if (tip == nullptr) return {{0, 0, -kContact_mm}, {0, 0, 1}, 1, kOutside};
  const double u1 = random.uniform();
  const double u2 = random.uniform();
  const double u3 = random.uniform();
  const double u4 = random.uniform();
  const optics::TipRay ray = optics::sample(*tip, u1, u2, u3, u4);
  return {{ray.x_mm, ray.y_mm, -kContact_mm}, ray.direction, 1, kOutside};
}

/// The reading without the disc, as a share of the light's power.
double without_disc(const DiscForm& form, const DiscLighting& lighting) {
  const auto* tip = std::get_if<optics::TipSource>(&lighting);
  if (tip == nullptr) return 1;
  const auto* sensor = std::get_if<IrradianceSensor>(&form.detector);
  const double radius = (sensor != nullptr ? sensor->aperture_mm : form.diameter_mm) / 2;
  const double distance = kContact_mm + (sensor != nullptr ? form.thickness_mm + sensor->gap_mm : 0);
  return optics::irradiance_per_mw(*tip, distance, radius) * std::numbers::pi * radius * radius;
}

/// The bands whose power a detector reads, and the resin in each.
std::vector<BandInMaterial> bands_that_are_read(const Material& material, const DiscTransmission& test,
                                                const optics::Light* light) {
  if (light == nullptr) {
    const double nm = test.wavelength_nm.value_or(optics::kBlue_nm);
    const optics::ResinValues values = nominal(material.optics);
    const optics::OpticalProperties resin =
        resin_properties(values, nm, initiator_shares_per_mm(material.optics, values, nm));
    BandInMaterial band;
    band.mean_nm = nm;
    band.power_share = 1;
    band.mua_per_mm = resin.mua_per_mm;
    band.reduced_scattering_per_mm = reduced_scattering_per_mm(resin);
    return std::vector<BandInMaterial>(1, band);
  }
  std::vector<BandInMaterial> bands;
  const optics::Emission emitter = optics::emission(light->spectrum);
  double all = 0;
  for (const optics::Band& window : optics::violet_and_blue()) {
    const double power = power_between(emitter, window.from_nm, window.to_nm);
    if (power <= 0) continue;
    const ResinInBand resin = resin_in_band(*light, material, window);
    bands.push_back({.window = window,
                     .mean_nm = resin.mean_nm,
                     .power_share = power,
                     .mua_per_mm = resin.properties.mua_per_mm,
                     .reduced_scattering_per_mm = reduced_scattering_per_mm(resin.properties)});
    all += power;
  }
  if (bands.empty()) {
    throw base::InputError({{"", 0, 0, "disc.light", light->name + " has no power between 385 and 515 nm",
                             "Name the light that the disc was measured with"}});
  }
  for (BandInMaterial& band : bands) band.power_share /= all;
  return bands;
}

}  // namespace

ResinTable simulate_disc(const DiscForm& form, const ResinGrid& grid, const DiscLighting& lighting,
                         std::uint64_t photons, std::uint64_t seed, const base::Running& running) {
  const anatomy::Scene scene = scene_of(form);
  const auto run = [&](double mus_per_mm, std::uint64_t first, std::uint64_t count) {
    const transport::Media media = {
        transport::air(), {.n = grid.n, .mua_per_mm = grid.mua_per_mm.front(), .mus_per_mm = mus_per_mm, .g = grid.g}};
    Tally tally;
    tally.form = &form;
    tally.mua_per_mm = &grid.mua_per_mm;
    tally.read.resize(grid.mua_per_mm.size());
    for (std::uint64_t id = first; id < first + count; ++id) {
      if (id % 256 == 0 && running.stop.stop_requested()) throw base::Interrupted();
      base::Stream random(seed, kDiscPurpose, id);
      Packet packet = launched(lighting, random);
      tally.in_resin_mm = 0;
      transport::walk(scene, media, {}, packet, random, tally);
    }
    return tally.read;
  };
  return tabulate(grid, photons, 1 / without_disc(form, lighting), "light through the disc", run, running);
}

DiscReadingOf disc_of_material(const DrawSource& source, const DiscTransmission& test, const optics::Light* light,
                               const MouldEffort& effort, const base::Running& running) {
  const std::vector<BandInMaterial> bands = bands_that_are_read(source.material, test, light);
  const ResinGrid grid = grid_of_draws(source, bands, effort.seed);
  const DiscForm form{.thickness_mm = test.thickness_mm, .diameter_mm = test.diameter_mm, .detector = test.detector};
  const DiscLighting lighting = light == nullptr ? DiscLighting{ThinBeam{}} : DiscLighting{optics::tip_source(*light)};
  const ResinTable table = simulate_disc(form, grid, lighting, effort.photons / 2, effort.seed, running);
  return [table, bands](const Draw& draw) {
    double sum = 0;
    for (const BandInMaterial& band : bands) {
      sum += band.power_share * value_at(table, mua_of(band, draw), reduced_scattering_of(band, draw));
    }
    return sum;
  };
}

}  // namespace throughcure::cure
