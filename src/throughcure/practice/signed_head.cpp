#include "throughcure/practice/signed_head.hpp"

#include <sodium.h>

#include "throughcure/base/problem.hpp"
#include "throughcure/practice/big_endian.hpp"
#include "throughcure/practice/random_bytes.hpp"

namespace throughcure::practice {

namespace {

constexpr std::string_view kVersion = "throughcure head 1\n";

void make_ready() {
  if (sodium_init() < 0) throw base::Failure("signatures cannot be made or checked on this system");
}

const unsigned char* raw(std::string_view text) {
  // The library takes bytes, and these are.
  return reinterpret_cast<const unsigned char*>(text.data());  // NOLINT(*-reinterpret-cast)
}

}  // namespace

KeySeed random_key_seed() {
  KeySeed seed{};
  fill_with_random(seed);
  return seed;
}

SigningKey::SigningKey(const KeySeed& seed) {
  make_ready();
  crypto_sign_seed_keypair(public_.data(), secret_.data(), seed.data());
}

SigningKey::~SigningKey() { sodium_memzero(secret_.data(), secret_.size()); }

Signature SigningKey::sign(std::string_view message) const {
  Signature out{};
  crypto_sign_detached(out.data(), nullptr, raw(message), message.size(), secret_.data());
  return out;
}

bool is_signature(const Signature& signature, std::string_view message, const PublicKey& key) {
  make_ready();
  return crypto_sign_verify_detached(signature.data(), raw(message), message.size(), key.data()) == 0;
}

std::string head_bytes(const Head& head) {
  std::string out(kVersion);
  add_u64(out, head.size);
  out += bytes_of(head.root);
  add_u64(out, static_cast<std::uint64_t>(head.at.us));
  out += bytes_of(head.key);
  return out;
}

SignedHead signed_head(std::uint64_t size, const Digest& root, base::Instant at, const SigningKey& key) {
  const Head head{.size = size, .root = root, .at = at, .key = key.public_key()};
  return {head, key.sign(head_bytes(head))};
}

bool is_signed(const SignedHead& head) { return is_signature(head.signature, head_bytes(head.head), head.head.key); }

}  // namespace throughcure::practice
