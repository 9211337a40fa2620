// What of a record must go together with other records and with the hour, whatever asks for it to be kept.
#pragma once

#include <vector>

#include "throughcure/base/problem.hpp"
#include "throughcure/store/store.hpp"
#include "throughcure/store/table.hpp"

namespace throughcure::desk {

/// What does not go together: a tip that is another light's, a barrier that was not on, a time that has not come.
/// `before` is the record as it stands, null for a new one. Expects values without record_problems.
base::Problems tie_problems(const store::Reader& reader, const store::Table& table,
                            const std::vector<base::Value>* before, const std::vector<base::Value>& after,
                            base::Instant now);

}  // namespace throughcure::desk
