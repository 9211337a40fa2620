// Secrets that nobody can guess, and their fingerprints, so that the secret itself need not be kept.
#pragma once

#include <array>
#include <string>
#include <string_view>

namespace throughcure::service {

/// 128 random bits from the system as 32 hexadecimal digits. Throws base::Failure when the system has none to give.
std::string random_token();

using Fingerprint = std::array<unsigned char, 32>;

/// BLAKE2b-256 of a token. Looking a token up by its fingerprint tells nothing by the time it takes.
Fingerprint fingerprint(std::string_view token);

/// Whether two secrets are the same, in a time that does not depend on where they differ.
bool same_secret(std::string_view a, std::string_view b);

}  // namespace throughcure::service
