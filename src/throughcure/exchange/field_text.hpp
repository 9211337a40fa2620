// Small words for problems with a file's fields.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace throughcure::exchange {

/// "a, b, c"
std::string list_of(const std::vector<std::string_view>& words);

/// "matrix.wedge"; either part may be empty.
std::string joined_field(std::string_view prefix, std::string_view path);

/// A value to be quoted in a problem: on one line, at most 60 bytes, never cut inside a character of several bytes.
std::string cut_short(std::string text);

}  // namespace throughcure::exchange
