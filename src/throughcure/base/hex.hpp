// Bytes as hexadecimal digits, and back.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace throughcure::base {

/// Two lower-case digits a byte: "00ff".
std::string hex(std::span<const std::uint8_t> bytes);

/// Fills `bytes` from exactly two digits a byte, of either case; false, where the text is anything else.
bool read_hex(std::string_view text, std::span<std::uint8_t> bytes);

/// Exactly N bytes, or nothing.
template <std::size_t N>
std::optional<std::array<std::uint8_t, N>> from_hex(std::string_view text) {
  std::array<std::uint8_t, N> bytes{};
  if (!read_hex(text, bytes)) return std::nullopt;
  return bytes;
}

}  // namespace throughcure::base
