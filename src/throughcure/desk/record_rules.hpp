// What a record must be like before it is kept, whatever asks for it: page, import, phone.
#pragma once

#include <vector>

#include "throughcure/base/problem.hpp"
#include "throughcure/store/table.hpp"

namespace throughcure::desk {

/// All that is wrong with the values of a record: texts that are empty, too long or no UTF-8, numbers out of their
/// range, instants that cannot be, a time zone that is none. Limits of numbers are of kind "common practice, no
/// source": they catch slips, and say nothing of what is good.
base::Problems record_problems(const store::Table& table, const std::vector<base::Value>& values);

/// What of a record would be changed by hand though only acts of their own set it: a light is accepted, refused or
/// withdrawn, a reading is somebody's, a restoration was made where its light was. `before` is null for a new record,
/// which has none of it.
base::Problems act_problems(const store::Table& table, const std::vector<base::Value>* before,
                            const std::vector<base::Value>& after);

}  // namespace throughcure::desk
