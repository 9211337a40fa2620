// The head of the log, signed: how many changes there are, and their root.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

#include "throughcure/base/instant.hpp"
#include "throughcure/practice/digest.hpp"

namespace throughcure::practice {

using PublicKey = std::array<std::uint8_t, 32>;
using Signature = std::array<std::uint8_t, 64>;
/// The secret from which a signing key is made (RFC 8032 calls it the private key). Whoever has it can sign.
using KeySeed = std::array<std::uint8_t, 32>;

/// A new secret from the system. Throws base::Failure when it has no random numbers to give.
KeySeed random_key_seed();

/// A key that signs by Ed25519 (RFC 8032). The secret is wiped from memory at the end.
class SigningKey {
 public:
  explicit SigningKey(const KeySeed& seed);
  SigningKey(const SigningKey&) = delete;
  SigningKey& operator=(const SigningKey&) = delete;
  ~SigningKey();

  [[nodiscard]] const PublicKey& public_key() const { return public_; }
  [[nodiscard]] Signature sign(std::string_view message) const;

 private:
  PublicKey public_{};
  std::array<std::uint8_t, 64> secret_{};
};

/// Whether the holder of this key signed this message.
bool is_signature(const Signature& signature, std::string_view message, const PublicKey& key);

struct Head {
  std::uint64_t size = 0;  ///< how many changes
  Digest root{};           ///< of the tree over them
  base::Instant at;        ///< when it was signed
  PublicKey key{};         ///< whose signature it is
  friend bool operator==(const Head&, const Head&) = default;
};

struct SignedHead {
  Head head;
  Signature signature{};
  friend bool operator==(const SignedHead&, const SignedHead&) = default;
};

/// What is signed: "throughcure head 1\n", the size (8 bytes, the highest first), the root, the instant (8 bytes, two's
/// complement), the key.
std::string head_bytes(const Head& head);

SignedHead signed_head(std::uint64_t size, const Digest& root, base::Instant at, const SigningKey& key);

/// Whether the signature is that of the key that the head names: it says nothing of whose key that is.
bool is_signed(const SignedHead& head);

}  // namespace throughcure::practice
