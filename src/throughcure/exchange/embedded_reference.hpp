// The published numbers of the folder reference/, as they are embedded in the binary.
#pragma once

#include <string_view>
#include <vector>

namespace throughcure::exchange {

/// The text of reference/TOPIC.toml: `reference_text("initiators")`. It lives as long as the program. Throws
/// base::Failure for a topic that is not there.
std::string_view reference_text(std::string_view topic);

/// The topics there are, in alphabetical order.
std::vector<std::string_view> reference_topics();

}  // namespace throughcure::exchange
