// A number as text, the same in every locale.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace throughcure::base {

/// The shortest text that reads back as the same double: "0.1", "1000", "1e+30".
std::string number_text(double value);

/// All of a text as a whole number; nothing where it is anything else, or too large.
std::optional<std::int64_t> whole_number(std::string_view text);

}  // namespace throughcure::base
