// A number as text, the same in every locale.
#pragma once

#include <string>

namespace throughcure::base {

/// The shortest text that reads back as the same double: "0.1", "1000", "1e+30".
std::string number_text(double value);

}  // namespace throughcure::base
