#include "throughcure/service/token.hpp"

#include <sodium.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::service {

namespace {

void make_ready() {
  if (sodium_init() < 0) throw base::Failure("the system gives no random numbers, so nobody can be signed in safely");
}

}  // namespace

std::string random_token() {
  make_ready();
  std::array<unsigned char, 16> bytes{};
  randombytes_buf(bytes.data(), bytes.size());
  std::array<char, 33> hex{};
  sodium_bin2hex(hex.data(), hex.size(), bytes.data(), bytes.size());
  return {hex.data(), 32};
}

Fingerprint fingerprint(std::string_view token) {
  make_ready();
  Fingerprint out{};
  // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): the library takes bytes
  const auto* bytes = reinterpret_cast<const unsigned char*>(token.data());
  crypto_generichash(out.data(), out.size(), bytes, token.size(), nullptr, 0);
  return out;
}

bool same_secret(std::string_view a, std::string_view b) {
  return a.size() == b.size() && sodium_memcmp(a.data(), b.data(), a.size()) == 0;
}

}  // namespace throughcure::service
