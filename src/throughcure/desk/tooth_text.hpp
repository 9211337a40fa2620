// A tooth as the records have it: two digits of ISO 3950, of a permanent or a primary tooth.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace throughcure::desk {

/// A primary tooth by ISO 3950: quadrants 5 to 8, positions 1 to 5.
bool is_primary(std::int64_t number);

/// The tooth of a text, blanks around it aside; nothing where there is no such tooth.
std::optional<std::string> iso_tooth(std::string_view text);

/// What to write instead.
constexpr std::string_view kIsoTeeth = "Write two digits: 11 to 48, or 51 to 85 for a primary tooth";

}  // namespace throughcure::desk
