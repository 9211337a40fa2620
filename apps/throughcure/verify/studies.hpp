// The published experiments of validation/, as they are embedded in the binary.
#pragma once

#include <string>
#include <vector>

#include "throughcure/exchange/validation_study.hpp"

namespace throughcure::verify {

/// Every row of every study, in the order of the files' names; of one group if one is named. Throws base::InputError
/// with all problems of all files.
std::vector<exchange::ValidationRow> embedded_rows(const std::string& group = {});

}  // namespace throughcure::verify
