// How well curing was foretold, within one laboratory and across laboratories, beside a constant that knows no physics.
#pragma once

#include <span>
#include <string>

#include "check.hpp"
#include "interval_score.hpp"

namespace throughcure::verify {

/// A score beside that of a constant mean over the same rows.
struct Compared {
  Score ours;
  Score constant;
};

/// Within one laboratory a row is conditioned on others of its lamp and mode; the constant is the mean of the other
/// rows of the study. Across laboratories priors alone speak, for every row whether it counts or not; the constant is
/// the mean of the other studies.
struct CureSummary {
  std::size_t shown = 0;  ///< rows of curing that were simulated
  std::size_t counted = 0;
  std::size_t counted_inside = 0;
  Compared within_counted;  ///< scraped depths [mm]
  Compared within_shown;
  Compared across_depths;
  Compared across_conversions;
  std::string most_missing;  ///< the single fact that would let most more rows of curing count
  std::size_t most_missing_rows = 0;
};
CureSummary cure_summary(std::span<const Check> checks);

/// That in words, for a person; empty where no row of curing was simulated.
std::string sentences(const CureSummary& summary);

}  // namespace throughcure::verify
