// Base64 read back, for tests of what is written in it.
#pragma once

#include <string>
#include <string_view>

namespace throughcure::tests {

inline std::string from_base64(std::string_view text) {
  constexpr std::string_view letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string out;
  unsigned bits = 0;
  int count = 0;
  for (const char c : text) {
    const std::size_t value = letters.find(c);
    if (value == std::string_view::npos) break;
    bits = bits << 6U | static_cast<unsigned>(value);
    count += 6;
    if (count < 8) continue;
    count -= 8;
    out += static_cast<char>(bits >> static_cast<unsigned>(count) & 255U);
  }
  return out;
}

}  // namespace throughcure::tests
