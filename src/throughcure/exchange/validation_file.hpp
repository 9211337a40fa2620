// Reading a study of validation/: adding a published experiment is adding such a file.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "throughcure/exchange/validation_study.hpp"

namespace throughcure::exchange {

/// The rows of one study. `name` stands for the file in problems. What the experiment needs may stand in each row or
/// once for the whole study; the row's own is taken first. Throws base::InputError with every problem of the file:
/// among them a row that counts although it is from memory, and one that does not and has no `why_not`.
/// A row that nothing simulates yet comes as one that does not count, whatever the file says.
std::vector<ValidationRow> read_validation(std::string_view toml, std::string name);

}  // namespace throughcure::exchange
