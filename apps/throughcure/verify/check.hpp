// One published number beside ours: whether it lies inside, and whether that counts.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "throughcure/base/sourced.hpp"
#include "throughcure/exchange/validation_study.hpp"

namespace throughcure::verify {

/// What of curing a row is scored as, together with rows of other studies.
enum class Scored : unsigned char { kNot, kScrapedDepth, kConversion };

/// What an experiment of ours gives for one row. Nothing where no experiment can.
struct Answer {
  std::optional<double> value{};
  double se = 0;                ///< its standard error, from Monte Carlo
  double tolerance = 0;         ///< bound of its other errors: pixels, quadrature
  std::optional<double> low{};  ///< an interval of its own, where unknown inputs make one: both or neither
  std::optional<double> high{};
  /// Of curing: what priors alone foretell, where the answer was conditioned on other rows or is itself that.
  Scored scored = Scored::kNot;
  double to_scored = 1;  ///< factor from the row's unit to the scored one
  std::optional<double> alone_low{};
  std::optional<double> alone_high{};
};

struct Check {
  std::string id;
  std::string group;
  base::Provenance provenance;
  double published = 0;
  std::optional<double> ours{};
  std::optional<double> low{};
  std::optional<double> high{};
  bool inside = false;
  bool counted = false;
  std::string why_not;
  std::string missing;
  std::string conditioned_on;
  bool within_laboratory = false;  ///< conditioned on other rows of its own study
  Scored scored = Scored::kNot;
  double to_scored = 1;
  std::optional<double> alone_low{};
  std::optional<double> alone_high{};
};

/// The interval is the answer's own, or ours +- (3 combined standard errors + rounding + tolerance). Without an answer,
/// or with one that is not a number, nothing is inside.
Check judge(const exchange::ValidationRow& row, const Answer& answer);

/// What the checks come to.
struct Summary {
  std::size_t checks = 0;
  std::size_t counted = 0;
  std::size_t counted_inside = 0;
  std::size_t not_simulated = 0;
  std::string most_missing{};  ///< the single fact that would let most more rows count; empty where none is named
  std::size_t most_missing_rows = 0;
};
Summary summary(std::span<const Check> checks);

/// That in words, for a person.
std::string sentences(const Summary& summary);

}  // namespace throughcure::verify
