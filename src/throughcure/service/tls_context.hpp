// How this server speaks TLS: which versions and ciphers, with which certificate.
#pragma once

#include "throughcure/service/openssl.hpp"
#include "throughcure/service/tls_identity.hpp"

namespace throughcure::service {

/// Largest PEM text that is read [bytes], and most certificates above the first; chosen here.
inline constexpr std::size_t kMostPemBytes = std::size_t{256} << 10;
inline constexpr int kMostChainCertificates = 10;

/// A server's side of TLS 1.2 and 1.3. For 1.2 only suites of ephemeral keys and authenticated encryption, as RFC 9325,
/// 4.2 recommends; no renegotiation, no compression; keys and signatures of 112 bits of security at least. Throws
/// base::InputError, naming file and remedy, when the certificate or key cannot be read, is too weak, or they do not
/// belong together. Looks at no clock: an outdated certificate is for the browser to complain of.
TlsContextPtr make_tls_context(const TlsIdentity& identity);

}  // namespace throughcure::service
