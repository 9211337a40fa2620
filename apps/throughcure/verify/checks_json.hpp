// Checks as the one JSON document of `throughcure verify --json`.
#pragma once

#include <span>
#include <string>

#include "check.hpp"
#include "cure_summary.hpp"

namespace throughcure::verify {

/// {"checks": [{id, group, source, kind, published, ours, low, high, inside, counted, conditioned_on, why_not,
/// priors_alone}],
/// ..., "cure_summary": {...}}; what is not there is null.
std::string json_text(std::span<const Check> checks, const Summary& sum, const CureSummary& cure);

}  // namespace throughcure::verify
