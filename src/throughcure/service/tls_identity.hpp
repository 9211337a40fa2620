// What a server shows of itself over TLS.
#pragma once

#include <string>

namespace throughcure::service {

/// A certificate, the ones above it in order, and the private key to the first: all as PEM text (RFC 7468).
struct TlsIdentity {
  std::string certificate_pem;
  std::string key_pem;
  std::string certificate_file;  ///< where it was read, for sentences only; may be empty
  std::string key_file;
};

/// Reads both files as they are: make_tls_context says whether they can be used. Throws base::InputError when one
/// cannot be read or is too large.
TlsIdentity read_tls_identity(const std::string& certificate_file, const std::string& key_file);

}  // namespace throughcure::service
