// The library's objects, held so that they are freed, and its reasons as text. Knows the library by its types' names
// only.
#pragma once

#include <memory>
#include <string>
#include <string_view>

struct bio_st;
struct evp_pkey_st;
struct ssl_ctx_st;
struct x509_st;

namespace throughcure::service {

struct OpensslFree {
  void operator()(bio_st* bio) const;
  void operator()(evp_pkey_st* key) const;
  void operator()(ssl_ctx_st* context) const;
  void operator()(x509_st* certificate) const;
};
using BioPtr = std::unique_ptr<bio_st, OpensslFree>;
using KeyPtr = std::unique_ptr<evp_pkey_st, OpensslFree>;
using TlsContextPtr = std::unique_ptr<ssl_ctx_st, OpensslFree>;
using CertificatePtr = std::unique_ptr<x509_st, OpensslFree>;

/// A source to read that text from, which must outlive it.
BioPtr source_of(std::string_view text);

/// The next certificate in PEM; null when none is left or the text is broken there.
CertificatePtr next_certificate(bio_st& source);

/// The private key in PEM; null when there is none, it is broken, or a passphrase would be needed (nobody is asked).
KeyPtr private_key(std::string_view pem);

/// Why the last call failed, in the library's words; forgets it and what led there.
std::string openssl_reason();

/// Forgets what failed.
void forget_openssl_errors();

}  // namespace throughcure::service
