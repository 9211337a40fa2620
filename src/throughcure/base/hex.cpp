#include "throughcure/base/hex.hpp"

#include <sodium.h>

namespace throughcure::base {

std::string hex(std::span<const std::uint8_t> bytes) {
  std::string out(2 * bytes.size() + 1, '\0');
  sodium_bin2hex(out.data(), out.size(), bytes.data(), bytes.size());
  out.pop_back();  // the closing nought
  return out;
}

bool read_hex(std::string_view text, std::span<std::uint8_t> bytes) {
  if (text.size() != 2 * bytes.size()) return false;
  if (bytes.empty()) return true;  // nothing is at no address, which the next takes for a fault
  std::size_t read = 0;
  return sodium_hex2bin(bytes.data(), bytes.size(), text.data(), text.size(), nullptr, &read, nullptr) == 0 &&
         read == bytes.size();
}

}  // namespace throughcure::base
