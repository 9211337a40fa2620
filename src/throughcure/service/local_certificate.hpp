// The certificate that this machine makes for itself, so that phones and tablets of the practice reach it over TLS.
#pragma once

#include <chrono>
#include <filesystem>
#include <string>
#include <vector>

#include "throughcure/base/instant.hpp"
#include "throughcure/service/tls_identity.hpp"

namespace throughcure::service {

/// How long it is valid, and how long before its end a new one is made. Browsers take no more than 398 days from the
/// usual authorities (common practice, no source); a day less keeps us clear of how they count.
inline constexpr std::chrono::days kCertificateLasts{397};
inline constexpr std::chrono::days kRenewedBefore{30};

/// A new key (ECDSA on P-256) and a certificate of it, signed by itself with SHA-256 and valid from an hour before
/// `now` (a phone's clock may be behind), with a random serial number and `hosts` as its subjectAltName: addresses as
/// numbers, or names. It can sign no other certificate. Throws base::InputError for a host that is neither, and
/// base::Failure when the system cannot make one.
TlsIdentity make_local_certificate(const std::vector<std::string>& hosts, base::Instant now);

/// The certificate kept in `folder` as local-certificate.pem and local-key.pem (for the owner only). A new one is made
/// and kept when there is none, it cannot be used, others could read its key, it ends within 30 days, or it lacks one
/// of `hosts`. Throws as above, and base::Failure when it cannot be written.
TlsIdentity local_certificate(const std::filesystem::path& folder, const std::vector<std::string>& hosts,
                              base::Instant now);

}  // namespace throughcure::service
