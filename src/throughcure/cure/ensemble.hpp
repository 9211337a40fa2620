// Draws of a material conditioned on what is known of it: its own scrapes, its instructions for use, its transmission.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "throughcure/base/parallel.hpp"
#include "throughcure/cure/draw.hpp"
#include "throughcure/cure/scrape.hpp"

namespace throughcure::cure {

/// A scrape test: `depth_mm` is half the length. The table of `mould` must reach to the whole length at least.
struct ScrapeFact {
  double depth_mm = 0;
  double sd_mm = 0;  ///< scatter of the reading; 0 holds every draw to `depth_mm` exactly
  TestExposure exposure{};
  MouldOf mould{};
};

/// The instructions for use, one-sided: a scrape test reaches `depth_mm - allowed_below_mm` or more.
struct IfuFact {
  double depth_mm = 0;
  double allowed_below_mm = 0;
  double sd_mm = 0.15;  ///< > 0
  TestExposure exposure{};
  MouldOf mould{};
};

/// Light through a disc: what was read, and what a draw's optics give in the same detector.
struct TransmissionFact {
  double fraction = 0;
  double sd_relative = 0.05;  ///< > 0, of `fraction`
  std::function<double(const Draw&)> predicted{};
};

/// What is known of the scrape test itself, of whatever material: how hard resin is at half the scraped length, by its
/// top, 24 h later. The range is the middle 90 %. Without it the draws would have that boundary too hard.
struct HardnessAtScrapeFact {
  base::Sourced ratio{};
  double slope = 0.525;  ///< of hardness against conversion (hardness.hpp)
  TestExposure exposure{};
  MouldOf mould{};
};

/// The same from the reference, for one test.
HardnessAtScrapeFact hardness_fact(const Priors& priors, const TestExposure& exposure, MouldOf mould);

struct Facts {
  std::vector<ScrapeFact> scrapes;
  std::vector<IfuFact> instructions;
  std::vector<TransmissionFact> discs;
  std::optional<HardnessAtScrapeFact> hardness{};
  double depth_per_length = 0.5;  ///< ISO 4049
  /// p times the attenuation of the mould [1/mm], as published time series have it (`slope_prior`); the range is its
  /// middle 90 %. Leave it out where the very series that it comes from is to be predicted.
  std::optional<base::Sourced> slope{};
};

struct EnsembleSize {
  std::size_t draws = 512;
  std::size_t least_effective = 512;    ///< proposals are added until they are worth so many, or
  std::size_t most_proposals = 16'384;  ///< until there are so many
};

struct Ensemble {
  std::vector<Draw> draws;           ///< of equal weight; a heavy proposal comes several times, with one id
  std::size_t proposals = 0;         ///< how many prior draws were weighed
  double effective_sample_size = 0;  ///< (sum w)^2 / sum w^2 of their weights
};

/// Proposals are draws 0, 1, 2, ... in blocks of 512: of the prior at first; from 1024, 2048, 4096, ... on they lean to
/// where draws of weight were found (leaning.hpp), and count for as much less. In each, the first scrape fact
/// solves k_ref, so that X(whole length) = X_g, read at once at the temperature of the test; the length is the reading
/// plus the draw's own error of reading. The weight is the prior of that k_ref (with the derivative of ln k_ref by
/// depth, for the depth was what was drawn), times the likelihoods of all other facts and of the slope. Without a
/// scrape k_ref stays as drawn. Then systematic resampling, by halves of a step: no random number, the same answer for
/// any number of threads. One series in time fixes p times the attenuation and nothing else: p and mu stay as wide as
/// the priors leave them. Throws base::InputError when no proposal can be brought into line with the facts, and where a
/// mould's table is shorter than the scraped length.
Ensemble condition(const DrawSource& source, const Facts& facts, std::uint64_t seed, const EnsembleSize& size = {},
                   const base::Running& running = {});

}  // namespace throughcure::cure
