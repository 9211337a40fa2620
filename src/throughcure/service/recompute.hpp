// A restoration's verdict worked out again, with what its light gave on that day.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "throughcure/base/parallel.hpp"
#include "throughcure/desk/look_back_output.hpp"
#include "throughcure/exchange/case_files.hpp"
#include "throughcure/exchange/plain_value.hpp"
#include "throughcure/plan/ground.hpp"

namespace throughcure::service {

/// Of the random numbers.
inline constexpr std::uint64_t kRecomputeSeed = 1;

/// Chance that it was under-cured, or why it cannot be said.
struct UnderCured {
  std::optional<double> chance;
  std::string why_not;
};

/// `document` is the case as it was kept (docs/case.md). The output is taken as a share of what the light's file
/// states, under each alternative of it; the chance is the sum of theirs by their weights. Each is one less that of
/// curing through, from the same paths and draws, at a precision that ranks: a tenth of the light at the floor.
UnderCured recompute(const exchange::PlainTable& document, const std::vector<desk::OutputAlternative>& output,
                     const exchange::CaseFiles& files, const plan::Knowledge& knowledge, const base::Running& running);

}  // namespace throughcure::service
