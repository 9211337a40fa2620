// A case written out in full: everything that a verdict was worked out from, for a person to read.
#pragma once

#include <string>

#include "throughcure/exchange/plain_value.hpp"
#include "throughcure/plan/case.hpp"

namespace throughcure::exchange {

/// Every number that counts, with unit, kind and source where it has them: site, crown, tissues, materials, light, hand
/// and schedule, defaults filled in, aims as coordinates, beside what follows from them (names, exitance). A picture of
/// a beam is only described. It is no case file: read_case does not read it.
PlainTable resolved_case(const plan::Case& plan);

/// The same as TOML.
std::string resolved_case_toml(const plan::Case& plan);

}  // namespace throughcure::exchange
