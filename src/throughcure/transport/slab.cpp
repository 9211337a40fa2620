#include "throughcure/transport/slab.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/base/number_text.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/transport/walk.hpp"

namespace throughcure::transport {

namespace {

using base::Direction;

constexpr std::uint32_t kSlabStream = 1;
constexpr std::size_t kBatches = 64;

/// In a half-space that scatters and does not absorb every photon comes back, but some take for ever. So deep a mirror
/// makes no difference that could be seen: what differs at its depth fades by a factor e with every transport length.
constexpr double kMirrorDepthInTransportLengths = 30;

struct SlabScene {
  anatomy::Scene scene;
  Media media;
  std::uint32_t first_layer = 0;  ///< MediumId of the first layer
};

/// Solids from above: air above, the layers, then what is below as the background.
SlabScene build(const SlabInput& input) {
  anatomy::SceneBuilder builder("below");
  SlabScene slab;
  slab.media.push_back({.n = input.n_below});
  double z = 0;
  builder.add(builder.medium("above"), {anatomy::half_space({0, 0, 0}, Direction{0, 0, 1})});
  slab.media.push_back({.n = input.n_above});
  slab.first_layer = 2;
  for (std::size_t i = 0; i < input.layers.size(); ++i) {
    const SlabLayer& layer = input.layers[i];
    const bool unending = std::isinf(layer.thickness_mm);
    const bool needs_mirror = unending && layer.mua_per_mm == 0 && layer.mus_per_mm > 0;
    const double thickness =
        needs_mirror ? kMirrorDepthInTransportLengths / (layer.mus_per_mm * (1 - layer.g)) : layer.thickness_mm;
    std::vector<anatomy::Quadric> faces = {anatomy::half_space({0, 0, z}, Direction{0, 0, -1})};
    z += thickness;
    if (!std::isinf(z)) faces.push_back(anatomy::half_space({0, 0, z}, Direction{0, 0, 1}));
    builder.add(builder.medium("layer " + std::to_string(i + 1)), faces);
    slab.media.push_back({.n = layer.n, .mua_per_mm = layer.mua_per_mm, .mus_per_mm = layer.mus_per_mm, .g = layer.g});
    if (needs_mirror) {
      builder.add(builder.medium("mirror"), {});
      slab.media.push_back({.kind = MediumKind::metal, .reflectance = 1});
    }
  }
  slab.scene = builder.scene();
  return slab;
}

/// Sums of one batch.
struct Tally : Unobserved {
  const SlabInput* input = nullptr;
  std::uint32_t first_layer = 0;
  std::vector<double> absorbed;
  std::vector<double> by_depth;
  std::vector<double> reflected_by_angle;
  std::vector<double> transmitted_by_angle;
  double Rsp = 0;
  double Rd = 0;
  double Tt = 0;
  double won = 0;
  double lost = 0;
  bool untouched = true;  ///< the present packet has met only clear layers

  void flight(const Packet& before, double length, anatomy::MediumId medium_id, const Medium& medium, double w_after) {
    if (medium_id < first_layer) return;
    if (medium.mua_per_mm > 0 || medium.mus_per_mm > 0) untouched = false;
    if (medium.mua_per_mm <= 0) return;
    absorbed[medium_id - first_layer] += before.w - w_after;
    if (!by_depth.empty()) spread_by_depth(before, length, medium.mua_per_mm);
  }
  void roulette(double w_change) { won += w_change; }

 private:
  /// Puts what a flight lost into the depth bins it passed, exactly by the exponential along it.
  void spread_by_depth(const Packet& before, double length, double mua) {
    const double width = input->depth_bin_mm;
    // Mid-points decide the bin, so that standing on an edge is no special case.
    double s = 0;
    double edge = before.u.z > 0 ? std::floor(before.r.z / width) + 1 : std::ceil(before.r.z / width) - 1;
    while (s < length) {
      const double next = before.u.z == 0 ? kForever : (edge * width - before.r.z) / before.u.z;
      const double stop = std::max(s, std::min(length, next));
      const double middle = std::isinf(stop) ? s + 1 : 0.5 * (s + stop);
      const double bin = std::floor((before.r.z + before.u.z * middle) / width);
      if (bin >= 0 && bin < static_cast<double>(by_depth.size())) {
        by_depth[static_cast<std::size_t>(bin)] += before.w * (std::exp(-mua * s) - std::exp(-mua * stop));
      }
      edge += before.u.z > 0 ? 1 : -1;
      if (std::isinf(stop)) break;
      s = stop;
    }
  }
};

void add_to_angle(std::vector<double>& bins, double cosine, double w) {
  if (bins.empty()) return;
  const double share = std::acos(std::clamp(cosine, 0.0, 1.0)) / (std::numbers::pi / 2);
  const auto i = std::min(bins.size() - 1, static_cast<std::size_t>(share * static_cast<double>(bins.size())));
  bins[i] += w;
}

/// One packet from the beam to its end.
void run_packet(const SlabScene& slab, const SlabInput& input, Tally& tally, std::uint64_t id) {
  base::Stream random(input.seed, kSlabStream, id);
  const Boundary entry = fresnel(input.n_above, input.layers.front().n, input.mu0);
  tally.Rsp += entry.reflectance;
  tally.untouched = true;
  const double sine = std::sqrt(std::max(0.0, 1 - entry.cos_beyond * entry.cos_beyond));
  Packet packet{{0, 0, 0}, {sine, 0, entry.cos_beyond}, 1 - entry.reflectance, 1};
  if (packet.w <= 0) return;
  const Ending ending = walk(slab.scene, slab.media, {}, packet, random, tally);
  if (ending == Ending::lost) {
    tally.lost += packet.w;
  } else if (ending == Ending::escaped && packet.u.z < 0) {
    (tally.untouched ? tally.Rsp : tally.Rd) += packet.w;
    if (!tally.untouched) add_to_angle(tally.reflected_by_angle, -packet.u.z, packet.w);
  } else if (ending == Ending::escaped) {
    tally.Tt += packet.w;
    add_to_angle(tally.transmitted_by_angle, packet.u.z, packet.w);
  }
}

using Pick = double (*)(const Tally&, std::size_t);

/// Estimate of one number over the batches; `scale` turns a batch's sum into the wanted unit per photon.
base::Estimate over_batches(const std::vector<Tally>& tallies, const std::vector<double>& photons, Pick pick,
                            std::size_t index, double scale) {
  std::vector<double> means;
  means.reserve(tallies.size());
  for (std::size_t b = 0; b < tallies.size(); ++b) means.push_back(pick(tallies[b], index) / photons[b] * scale);
  return base::estimate_from_batches(means);
}

std::vector<base::Estimate> radiance(const std::vector<Tally>& tallies, const std::vector<double>& photons, Pick pick,
                                     std::uint32_t bins) {
  std::vector<base::Estimate> result;
  const double step = std::numbers::pi / 2 / bins;
  for (std::uint32_t i = 0; i < bins; ++i) {
    // Power per projected solid angle: the integral of cos(theta) over the bin is pi (sin^2 b - sin^2 a).
    const double a = std::sin(step * i);
    const double b = std::sin(step * (i + 1));
    result.push_back(over_batches(tallies, photons, pick, i, 1 / (std::numbers::pi * (b * b - a * a))));
  }
  return result;
}

}  // namespace

std::vector<std::string> slab_problems(const SlabInput& input) {
  std::vector<std::string> problems;
  const auto check = [&](bool fine, const std::string& name, double v, const std::string& limit) {
    if (!fine) problems.push_back(name + ": " + base::number_text(v) + " must be " + limit);
  };
  if (input.layers.empty()) problems.emplace_back("there must be at least one layer");
  for (std::size_t i = 0; i < input.layers.size(); ++i) {
    const SlabLayer& layer = input.layers[i];
    const std::string name = "layer " + std::to_string(i + 1) + ", ";
    check(layer.mua_per_mm >= 0 && std::isfinite(layer.mua_per_mm), name + "mua", layer.mua_per_mm, "0 per mm or more");
    check(layer.mus_per_mm >= 0 && std::isfinite(layer.mus_per_mm), name + "mus", layer.mus_per_mm, "0 per mm or more");
    check(layer.g > -1 && layer.g < 1, name + "g", layer.g, "between -1 and 1");
    check(layer.n >= 1 && layer.n <= 4, name + "n", layer.n, "from 1 to 4");
    check(layer.thickness_mm > 0, name + "mm", layer.thickness_mm, "more than 0 mm, or inf");
    if (std::isinf(layer.thickness_mm) && i + 1 < input.layers.size()) {
      problems.push_back(name + "mm: inf is only for the last layer");
    }
  }
  check(input.n_above >= 1 && input.n_above <= 4, "n-above", input.n_above, "from 1 to 4");
  check(input.n_below >= 1 && input.n_below <= 4, "n-below", input.n_below, "from 1 to 4");
  check(input.mu0 > 0 && input.mu0 <= 1, "mu0", input.mu0, "a cosine above 0 and up to 1");
  if (input.photons == 0) problems.emplace_back("photons: 0 must be 1 or more");
  return problems;
}

SlabResult run_slab(const SlabInput& input, const base::Running& running) {
  base::Problems problems;
  for (const std::string& text : slab_problems(input)) problems.push_back({"", 0, 0, "", text, "Change that value"});
  base::refuse_if_any(problems);

  const SlabScene slab = build(input);
  const std::size_t batches = std::min<std::uint64_t>(kBatches, input.photons);
  // Batches are cut into pieces short enough to stop at; a piece adds to its batch in order.
  Tally empty;
  empty.input = &input;
  empty.first_layer = slab.first_layer;
  empty.absorbed.resize(slab.media.size() - slab.first_layer);
  empty.by_depth.resize(input.depth_bins);
  empty.reflected_by_angle.resize(input.angle_bins);
  empty.transmitted_by_angle.resize(input.angle_bins);
  std::vector<Tally> tallies(batches, empty);
  std::vector<double> photons(batches);
  base::for_each_batch(batches, running, "photons", [&](std::size_t b) {
    const std::uint64_t first = input.photons * b / batches;
    const std::uint64_t last = input.photons * (b + 1) / batches;
    photons[b] = static_cast<double>(last - first);
    Tally tally = empty;
    for (std::uint64_t id = first; id < last; ++id) {
      if (id % 256 == 0 && running.stop.stop_requested()) throw base::Interrupted();
      run_packet(slab, input, tally, id);
    }
    tallies[b] = std::move(tally);
  });

  const auto total = [&](Pick pick, std::size_t index = 0, double scale = 1) {
    return over_batches(tallies, photons, pick, index, scale);
  };
  SlabResult result;
  result.Rsp = total([](const Tally& t, std::size_t) { return t.Rsp; });
  result.Rd = total([](const Tally& t, std::size_t) { return t.Rd; });
  result.Tt = total([](const Tally& t, std::size_t) { return t.Tt; });
  result.A = total([](const Tally& t, std::size_t) {
    double sum = 0;
    for (const double a : t.absorbed) sum += a;
    return sum;
  });
  for (std::size_t i = 0; i < input.layers.size(); ++i) {
    result.A_by_layer.push_back(total([](const Tally& t, std::size_t k) { return t.absorbed[k]; }, i));
  }
  for (std::size_t i = 0; i < input.depth_bins; ++i) {
    result.absorbed_per_mm.push_back(
        total([](const Tally& t, std::size_t k) { return t.by_depth[k]; }, i, 1 / input.depth_bin_mm));
  }
  result.reflected_radiance = radiance(
      tallies, photons, [](const Tally& t, std::size_t k) { return t.reflected_by_angle[k]; }, input.angle_bins);
  result.transmitted_radiance = radiance(
      tallies, photons, [](const Tally& t, std::size_t k) { return t.transmitted_by_angle[k]; }, input.angle_bins);
  result.ledger.launched = static_cast<double>(input.photons);
  for (const Tally& t : tallies) {
    result.ledger.accounted += t.Rsp + t.Rd + t.Tt + t.lost - t.won;
    for (const double a : t.absorbed) result.ledger.accounted += a;
    result.ledger.lost += t.lost;
  }
  result.ledger.roulette = total([](const Tally& t, std::size_t) { return t.won; });
  return result;
}

}  // namespace throughcure::transport
