// What a cell looks like to somebody who does not know its column.
#pragma once

#include <cstdint>
#include <string_view>

namespace throughcure::exchange {

enum class CellLook : std::uint8_t { kEmpty, kDate, kNumber, kText };

/// "empty", "date", "number", "text"
std::string_view word(CellLook look);

/// A number may have a unit behind it. A number alone is one, even where it might count days.
CellLook look_of(std::string_view cell);

}  // namespace throughcure::exchange
