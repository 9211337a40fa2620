// Whether bytes are text.
#pragma once

#include <cstddef>
#include <string_view>

namespace throughcure::base {

/// UTF-8 as RFC 3629 has it: no surrogates, nothing longer than need be, nothing above U+10FFFF.
bool is_utf8(std::string_view bytes);

/// How many characters (code points) a text has that is_utf8 accepts.
std::size_t code_point_count(std::string_view text);

}  // namespace throughcure::base
