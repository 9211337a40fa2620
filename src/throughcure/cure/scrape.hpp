// The simulated scrape test: from draws, the light along the axis of the mould and an exposure to the scraped depth.
#pragma once

#include <functional>
#include <span>
#include <vector>

#include "throughcure/cure/draw.hpp"
#include "throughcure/optics/mode.hpp"

namespace throughcure::cure {

/// Fluence rate on the axis of the mould for each unit of radiant exitance of the light, for one draw of the material's
/// optics. Depths [mm] from the lit end, rising, two or more, the last at the mould's floor; rates > 0.
struct MouldProfile {
  std::vector<double> depth_mm;
  std::vector<double> phi_per_exitance;
};

/// ln of the fluence rate per exitance at a depth: straight lines between the table's depths, constant beyond its ends.
double ln_phi_per_exitance(const MouldProfile& profile, double depth_mm);
/// -d ln(phi)/dz there [1/mm], over two millimetres that stay inside the table: the length of a series in time, and
/// long enough for the noise of a simulated one.
double attenuation_per_mm(const MouldProfile& profile, double depth_mm);

/// The mould as a draw's optics have it: a simulation, a table, or a formula.
using MouldOf = std::function<MouldProfile(const Draw&)>;

/// How a test piece was lit.
struct TestExposure {
  double exitance_mw_cm2 = 0;
  double seconds = 0;
  optics::Course course = optics::Continuous{};
  double temperature_c = 23;  ///< of the room
};

/// The whole length that stays after scraping [mm]: the deepest place on the axis with a conversion of X_g or more,
/// read at once, at the temperature of the test. The mould's floor where all of it is cured, 0 where nothing is.
double scraped_length_mm(const Draw& draw, const MouldProfile& profile, const TestExposure& exposure);

/// Scraped depths, half the length each, one a draw.
struct ScrapedDepth {
  std::vector<double> of_draws_mm;
  double p10 = 0;
  double p50 = 0;
  double p90 = 0;
};
/// `depth_per_length` is 0.5 (ISO 4049).
ScrapedDepth scraped_depth(std::span<const Draw> draws, const MouldOf& mould, const TestExposure& exposure,
                           double depth_per_length);

/// Value below which the share `q` [0..1] of the sample lies; straight lines between its sorted values. 0 if empty.
double quantile(std::vector<double> sample, double q);

}  // namespace throughcure::cure
