#include "throughcure/practice/digest.hpp"

#include <sodium.h>

namespace throughcure::practice {

Digest sha256(std::initializer_list<std::string_view> parts) {
  crypto_hash_sha256_state state{};
  crypto_hash_sha256_init(&state);
  for (const std::string_view part : parts) {
    // The library takes bytes, and these are.
    const auto* bytes = reinterpret_cast<const unsigned char*>(part.data());  // NOLINT(*-reinterpret-cast)
    crypto_hash_sha256_update(&state, bytes, part.size());
  }
  Digest out{};
  crypto_hash_sha256_final(&state, out.data());
  return out;
}

std::string_view bytes_of(const Digest& digest) {
  return {reinterpret_cast<const char*>(digest.data()), digest.size()};  // NOLINT(*-reinterpret-cast)
}

}  // namespace throughcure::practice
