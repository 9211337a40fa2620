#include "throughcure/service/openssl.hpp"

#include <algorithm>
#include <limits>

#include <openssl/err.h>
#include <openssl/pem.h>
#include <openssl/ssl.h>
#include <openssl/x509.h>

namespace throughcure::service {

namespace {

/// In place of the library's own, which would ask at the terminal.
int no_passphrase(char* /*to*/, int /*size*/, int /*writing*/, void* /*data*/) { return -1; }

}  // namespace

void OpensslFree::operator()(bio_st* bio) const { BIO_free_all(bio); }
void OpensslFree::operator()(evp_pkey_st* key) const { EVP_PKEY_free(key); }
void OpensslFree::operator()(ssl_ctx_st* context) const { SSL_CTX_free(context); }
void OpensslFree::operator()(x509_st* certificate) const { X509_free(certificate); }

BioPtr source_of(std::string_view text) {
  const auto most = static_cast<std::size_t>(std::numeric_limits<int>::max());
  return BioPtr(BIO_new_mem_buf(text.data(), static_cast<int>(std::min(text.size(), most))));
}

CertificatePtr next_certificate(bio_st& source) {
  return CertificatePtr(PEM_read_bio_X509(&source, nullptr, no_passphrase, nullptr));
}

KeyPtr private_key(std::string_view pem) {
  const BioPtr source = source_of(pem);
  return KeyPtr(PEM_read_bio_PrivateKey(source.get(), nullptr, no_passphrase, nullptr));
}

std::string openssl_reason() {
  const char* reason = ERR_reason_error_string(ERR_peek_last_error());
  std::string out = reason == nullptr ? "no reason given" : reason;
  ERR_clear_error();
  return out;
}

void forget_openssl_errors() { ERR_clear_error(); }

}  // namespace throughcure::service
