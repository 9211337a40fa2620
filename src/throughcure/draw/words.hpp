// Words broken into lines.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace throughcure::draw {

/// Lines of `letters` at most (letters, not bytes: UTF-8), broken at spaces; a longer word has a line of its own. A
/// number stays with the unit after it.
std::vector<std::string> broken(std::string_view text, std::size_t letters);

}  // namespace throughcure::draw
