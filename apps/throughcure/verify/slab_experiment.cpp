// Totals, depths and angles of plane layers, by transport/slab.hpp.
#include <algorithm>
#include <cmath>
#include <cstdint>

#include "experiments.hpp"
#include "throughcure/transport/slab.hpp"

namespace throughcure::verify {

namespace {

using exchange::SlabQuestion;

constexpr std::uint64_t kSeed = 20'261;
constexpr std::uint64_t kPilotPhotons = 32'000;
/// A bin of depth or angle holds so little of the light that its error is asked for by its own size.
constexpr double kBinShare = 0.02;

bool is_bin(const SlabQuestion& question) {
  return question.quantity == SlabQuestion::Quantity::kAbsorbedPerMm ||
         question.quantity == SlabQuestion::Quantity::kReflectedRadiance;
}

transport::SlabInput input_of(const exchange::SlabSetup& setup) {
  transport::SlabInput input{.layers = {},
                             .n_above = setup.n_above,
                             .n_below = setup.n_below,
                             .mu0 = setup.mu0,
                             .photons = kPilotPhotons,
                             .seed = kSeed,
                             .depth_bin_mm = setup.depth_bin_mm,
                             .depth_bins = setup.depth_bins,
                             .angle_bins = setup.angle_bins};
  for (const exchange::ValidationLayer& layer : setup.layers) {
    input.layers.push_back({layer.mua_per_mm, layer.mus_per_mm, layer.g, layer.n, layer.thickness_mm});
  }
  return input;
}

base::Estimate pick(const transport::SlabResult& result, const SlabQuestion& question) {
  using enum SlabQuestion::Quantity;
  switch (question.quantity) {
    case kRsp:
      return result.Rsp;
    case kRd:
      return result.Rd;
    case kUr1:
      return {result.Rsp.value + result.Rd.value, std::hypot(result.Rsp.se, result.Rd.se)};
    case kTt:
      return result.Tt;
    case kA:
      return result.A;
    case kAOfLayer:
      return result.A_by_layer[question.index];
    case kAbsorbedPerMm:
      return result.absorbed_per_mm[question.index];
    case kReflectedRadiance:
      return result.reflected_radiance[question.index];
  }
  return {};
}

/// Photons that bring every number of the run to its error, going by a pilot's scatter.
std::uint64_t photons_for(std::span<const SlabQuestion> questions, const transport::SlabResult& pilot,
                          const Effort& effort) {
  double most = 1;
  for (const SlabQuestion& question : questions) {
    const base::Estimate e = pick(pilot, question);
    const double aim = is_bin(question) ? kBinShare * std::abs(e.value) : effort.standard_error;
    if (aim > 0) most = std::max(most, (e.se / aim) * (e.se / aim));
  }
  // A pilot's error is itself uncertain: a fifth more.
  const double wanted = 1.2 * most * static_cast<double>(kPilotPhotons);
  return static_cast<std::uint64_t>(std::min(wanted, static_cast<double>(effort.most_photons)));
}

}  // namespace

std::vector<Answer> answers(std::span<const SlabQuestion> same_setup, const Effort& effort,
                            const base::Running& running) {
  transport::SlabInput input = input_of(same_setup.front().setup);
  const transport::SlabResult pilot = transport::run_slab(input, {.threads = running.threads, .stop = running.stop});
  input.photons = photons_for(same_setup, pilot, effort);
  // Another seed: the pilot's luck must not choose how often the same paths are counted.
  input.seed = kSeed + 1;
  const transport::SlabResult result = transport::run_slab(input, running);
  std::vector<Answer> found;
  for (const SlabQuestion& question : same_setup) {
    const base::Estimate e = pick(result, question);
    found.push_back({.value = e.value, .se = e.se});
  }
  return found;
}

}  // namespace throughcure::verify
