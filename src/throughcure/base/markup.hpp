// Text inside markup: HTML and XML escape the same four characters.
#pragma once

#include <string>
#include <string_view>

namespace throughcure::base {

/// The text with &, <, > and " escaped: safe between tags and inside double-quoted attributes.
std::string escaped_markup(std::string_view text);

}  // namespace throughcure::base
