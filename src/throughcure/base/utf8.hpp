// Whether bytes are text.
#pragma once

#include <string_view>

namespace throughcure::base {

/// UTF-8 as RFC 3629 has it: no surrogates, nothing longer than need be, nothing above U+10FFFF.
bool is_utf8(std::string_view bytes);

}  // namespace throughcure::base
