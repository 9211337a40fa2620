// Small words for problems with a file's fields.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace throughcure::exchange {

/// "a, b, c"
std::string list_of(const std::vector<std::string_view>& words);

/// "matrix.wedge"; either part may be empty.
std::string joined_field(std::string_view prefix, std::string_view path);

/// How much of a field's name is said in a problem; a stranger's key may be as long as the file. [bytes]
constexpr std::size_t kMostFieldBytes = 200;

/// A value to be quoted in a problem: on one line, at most so many bytes (4 at least), never cut inside a character of
/// several bytes.
std::string cut_short(std::string text, std::size_t most = 60);

}  // namespace throughcure::exchange
