// The published numbers of the folder reference/, as they are embedded in the binary.
#pragma once

#include <string_view>
#include <vector>

#include "throughcure/exchange/toml_document.hpp"

namespace throughcure::exchange {

/// The text of reference/TOPIC.toml: `reference_text("initiators")`. It lives as long as the program. Throws
/// base::Failure for a topic that is not there.
std::string_view reference_text(std::string_view topic);

/// The same, parsed; problems name reference/TOPIC.toml. A reader takes what it needs: keys it does not use are no
/// problem there, so it asks for `problems()`, not for `finish()`.
TomlDocument reference_document(std::string_view topic);

/// The topics there are, in alphabetical order.
std::vector<std::string_view> reference_topics();

}  // namespace throughcure::exchange
