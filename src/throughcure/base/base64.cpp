#include "throughcure/base/base64.hpp"

#include <sodium.h>

namespace throughcure::base {

std::string base64(std::string_view bytes) { return base64(std::as_bytes(std::span(bytes))); }

std::string base64(std::span<const std::byte> bytes) {
  std::string out(sodium_base64_encoded_len(bytes.size(), sodium_base64_VARIANT_ORIGINAL), '\0');
  // Its own type of byte; what it points at is the same.
  const auto* first = reinterpret_cast<const unsigned char*>(bytes.data());  // NOLINT(*-reinterpret-cast)
  sodium_bin2base64(out.data(), out.size(), first, bytes.size(), sodium_base64_VARIANT_ORIGINAL);
  out.pop_back();  // the closing nought
  return out;
}

std::optional<std::string> from_base64(std::string_view text) {
  std::string out(text.size() / 4 * 3, '\0');
  std::size_t size = 0;
  auto* first = reinterpret_cast<unsigned char*>(out.data());  // NOLINT(*-reinterpret-cast): as above
  const char* end = nullptr;
  if (sodium_base642bin(first, out.size(), text.data(), text.size(), nullptr, &size, &end,
                        sodium_base64_VARIANT_ORIGINAL) != 0 ||
      end != text.data() + text.size()) {
    return std::nullopt;
  }
  out.resize(size);
  return out;
}

}  // namespace throughcure::base
