// A record's value as the audit log has it.
#pragma once

#include <optional>
#include <string>

#include "throughcure/base/record.hpp"

namespace throughcure::store {

/// Whole numbers in decimal, others as the shortest text that reads back the same; none of nothing, which is left out
/// of the log.
std::optional<std::string> logged_text(const base::Value& value);

}  // namespace throughcure::store
