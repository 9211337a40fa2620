// Bytes as base64.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace throughcure::base {

/// RFC 4648, section 4 (standard): with padding, no line breaks.
std::string base64(std::span<const std::byte> bytes);
std::string base64(std::string_view bytes);

/// Back again; nothing where the text is no such base64.
std::optional<std::string> from_base64(std::string_view text);

}  // namespace throughcure::base
