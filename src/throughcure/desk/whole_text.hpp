// Numbers in sentences: whole.
#pragma once

#include <cmath>
#include <string>

namespace throughcure::desk {

/// "523"
inline std::string whole_text(double number) { return std::to_string(std::llround(number)); }

}  // namespace throughcure::desk
