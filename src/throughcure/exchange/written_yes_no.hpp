// Yes and no as people write them in a table.
#pragma once

#include <optional>
#include <string_view>

namespace throughcure::exchange {

/// "yes", "Y", "true", "1", "x", "on", "with" and their opposites, in any case. Nothing where it is neither.
std::optional<bool> read_yes_no(std::string_view text);

}  // namespace throughcure::exchange
