// The experiments that verify can run: a closed set of kinds, each in a file of its own.
#pragma once

#include <span>
#include <vector>

#include "check.hpp"
#include "cure_bench.hpp"
#include "throughcure/base/parallel.hpp"
#include "throughcure/exchange/validation_study.hpp"

namespace throughcure::verify {

/// How exact Monte Carlo is to be.
struct Effort {
  double standard_error = 5e-4;            ///< of a total, as a share of the incident power
  std::uint64_t most_photons = 2'000'000;  ///< of one slab
  std::uint64_t mould_photons = 10'000;    ///< of each scattering of a mould's table
};
inline constexpr Effort kCoarse{};
inline constexpr Effort kPrecise{.standard_error = 2e-4, .most_photons = 30'000'000, .mould_photons = 200'000};

/// All numbers of one slab, from one run with as many photons as the effort asks for.
std::vector<Answer> answers(std::span<const exchange::SlabQuestion> same_setup, const Effort& effort,
                            const base::Running& running);

Answer answer(const exchange::FresnelQuestion& question);
Answer answer(const exchange::PhaseFunctionQuestion& question);
Answer answer(const exchange::DiffuseFresnelQuestion& question);
Answer answer(const exchange::TipIrradianceQuestion& question);
Answer answer(const exchange::BeamWidthQuestion& question);
Answer answer(const exchange::ClipLevelQuestion& question);
Answer answer(const exchange::InitiatorQuestion& question);
Answer answer(const exchange::PhotonsQuestion& question);

/// From paths walked backwards from a small ball on the axis.
Answer answer(const exchange::TipFluenceQuestion& question, const base::Running& running);

/// The middle of what is possible, and as interval all that is possible.
Answer answer(const exchange::DistanceLossQuestion& question);

/// The median over draws of the priors, and as interval 80 % of them.
Answer answer(const exchange::TransmissionQuestion& question, const base::Running& running);

/// Median and middle 80 % of what a laboratory would print for a scrape test: over draws conditioned on the rows that
/// are given (the slope of published series is left out, for it is theirs), or over those that priors alone allow.
Answer answer(const exchange::ScrapeQuestion& question, const std::string& id,
              std::span<const exchange::ValidationRow* const> given, CureBench& bench, const base::Running& running);
/// The same for conversions and hardnesses, over what priors alone allow.
Answer answer(const exchange::ConversionQuestion& question, const std::string& id, CureBench& bench,
              const base::Running& running);
Answer answer(const exchange::HardnessQuestion& question, const std::string& id, CureBench& bench,
              const base::Running& running);
/// The line that the program turns conversion into hardness with; as interval what its slope's range gives.
Answer answer(const exchange::HardnessLineQuestion& question);

/// Runs every row; checks come in the order of the rows. The answer does not depend on the number of threads.
std::vector<Check> run_checks(std::span<const exchange::ValidationRow> rows, const Effort& effort,
                              const base::Running& running);

}  // namespace throughcure::verify
