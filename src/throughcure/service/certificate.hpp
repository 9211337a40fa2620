// What a certificate says of itself.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/base/instant.hpp"

namespace throughcure::service {

struct CertificateFacts {
  base::Instant begins;  ///< valid from then on
  base::Instant ends;
  /// The names and addresses of its subjectAltName, as they stand there: "desk.example", "192.168.1.5", "2001:db8::1".
  std::vector<std::string> hosts;
  /// SHA-256 over the certificate as bytes (DER), as browsers show it: "0A:1B:..." of 32 bytes.
  std::string fingerprint_sha256;
};

/// The first certificate of a PEM text; nothing when none can be read there. Checks no signature.
std::optional<CertificateFacts> certificate_facts(std::string_view pem);

/// Its fingerprint alone; empty when none can be read.
std::string fingerprint_sha256(std::string_view pem);

/// Whether the text is an IP address as numbers, of version 4 or 6.
bool is_ip_address(std::string_view host);

}  // namespace throughcure::service
