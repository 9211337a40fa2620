// SHA-256: the one hash of the audit chain.
#pragma once

#include <array>
#include <cstdint>
#include <initializer_list>
#include <string_view>

namespace throughcure::practice {

using Digest = std::array<std::uint8_t, 32>;

/// SHA-256 (FIPS 180-4) of the parts one after the other, nothing between them.
Digest sha256(std::initializer_list<std::string_view> parts);

/// The digest's bytes, to be hashed or written in their turn. Valid as long as the digest.
std::string_view bytes_of(const Digest& digest);

}  // namespace throughcure::practice
