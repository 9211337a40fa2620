// Whole numbers as bytes, the highest first: the same on every machine.
#pragma once

#include <cstdint>
#include <string>

namespace throughcure::practice {

inline void add_bytes(std::string& out, std::uint64_t value, unsigned bytes) {
  for (unsigned left = bytes; left > 0; --left) {
    out += static_cast<char>(static_cast<std::uint8_t>(value >> (8 * (left - 1))));
  }
}

/// 4 bytes; `value` must fit.
inline void add_u32(std::string& out, std::uint64_t value) { add_bytes(out, value, 4); }
inline void add_u64(std::string& out, std::uint64_t value) { add_bytes(out, value, 8); }

}  // namespace throughcure::practice
