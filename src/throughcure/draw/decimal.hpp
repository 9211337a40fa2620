// Numbers with a fixed count of decimals, the same in every locale.
#pragma once

#include <string>

namespace throughcure::draw {

/// "0.80" for 0.8 and two places; a minus sign that people read (U+2212); never "-0.0".
std::string decimal(double value, int places);

}  // namespace throughcure::draw
