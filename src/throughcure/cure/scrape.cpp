#include "throughcure/cure/scrape.hpp"

#include <algorithm>
#include <cmath>

namespace throughcure::cure {

namespace {
constexpr double kSpan_mm = 2;
constexpr int kHalvings = 30;
}  // namespace

double ln_phi_per_exitance(const MouldProfile& profile, double depth_mm) {
  const std::vector<double>& z = profile.depth_mm;
  const auto above = std::ranges::upper_bound(z, depth_mm);
  if (above == z.begin()) return std::log(profile.phi_per_exitance.front());
  if (above == z.end()) return std::log(profile.phi_per_exitance.back());
  const auto i = static_cast<std::size_t>(above - z.begin()) - 1;
  const double t = (depth_mm - z[i]) / (z[i + 1] - z[i]);
  return std::lerp(std::log(profile.phi_per_exitance[i]), std::log(profile.phi_per_exitance[i + 1]), t);
}

double attenuation_per_mm(const MouldProfile& profile, double depth_mm) {
  const double to = std::min(profile.depth_mm.back(), depth_mm + kSpan_mm / 2);
  const double from = std::max(profile.depth_mm.front(), to - kSpan_mm);
  return (ln_phi_per_exitance(profile, from) - ln_phi_per_exitance(profile, to)) / (to - from);
}

double scraped_length_mm(const Draw& draw, const MouldProfile& profile, const TestExposure& exposure) {
  const double needed = progress_to_reach(draw.law, exposure.temperature_c, draw.law.dark.gel);
  const std::vector<Piece> press = pieces(exposure.course, exposure.seconds);
  const auto cured = [&](double ln_phi) {
    const double phi = exposure.exitance_mw_cm2 * std::exp(ln_phi);
    return progress(draw.law, exposure.temperature_c, phi, press) >= needed;
  };
  const auto cured_node = [&](std::size_t i) { return cured(std::log(profile.phi_per_exitance[i])); };

  // From the floor upwards to the first cured place.
  std::size_t below = profile.depth_mm.size() - 1;
  if (cured_node(below)) return profile.depth_mm[below];
  while (below > 0 && !cured_node(below - 1)) --below;
  if (below == 0) return 0;

  double soft = profile.depth_mm[below];
  double hard = profile.depth_mm[below - 1];
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = (soft + hard) / 2;
    (cured(ln_phi_per_exitance(profile, middle)) ? hard : soft) = middle;
  }
  return hard;
}

ScrapedDepth scraped_depth(std::span<const Draw> draws, const MouldOf& mould, const TestExposure& exposure,
                           double depth_per_length) {
  ScrapedDepth result;
  result.of_draws_mm.reserve(draws.size());
  for (const Draw& draw : draws) {
    result.of_draws_mm.push_back(depth_per_length * scraped_length_mm(draw, mould(draw), exposure));
  }
  result.p10 = quantile(result.of_draws_mm, 0.1);
  result.p50 = quantile(result.of_draws_mm, 0.5);
  result.p90 = quantile(result.of_draws_mm, 0.9);
  return result;
}

double quantile(std::vector<double> sample, double q) {
  if (sample.empty()) return 0;
  std::ranges::sort(sample);
  const double place = q * static_cast<double>(sample.size() - 1);
  const auto i = std::min(static_cast<std::size_t>(place), sample.size() - 1);
  const std::size_t next = std::min(i + 1, sample.size() - 1);
  return std::lerp(sample[i], sample[next], place - static_cast<double>(i));
}

}  // namespace throughcure::cure
