#include "throughcure/service/tls_context.hpp"

#include <openssl/err.h>
#include <openssl/pem.h>
#include <openssl/ssl.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::service {

namespace {

constexpr int kSecurityLevel = 2;  // OpenSSL's for 112 bits: RSA of 2048, curves of 224, no SHA-1
constexpr const char* kCiphers12 = "ECDHE+AESGCM:ECDHE+CHACHA20";
constexpr const char* kCiphers13 = "TLS_AES_256_GCM_SHA384:TLS_CHACHA20_POLY1305_SHA256:TLS_AES_128_GCM_SHA256";
constexpr const char* kGroups = "X25519:P-256:P-384";

void must(bool good) {
  if (!good) throw base::Failure("TLS cannot be set up on this system: " + openssl_reason());
}

[[noreturn]] void refuse(const std::string& file, const char* field, std::string what, std::string remedy) {
  forget_openssl_errors();
  throw base::InputError({{file, 0, 0, field, std::move(what), std::move(remedy)}});
}

TlsContextPtr strict_context() {
  TlsContextPtr context(SSL_CTX_new(TLS_server_method()));
  must(context != nullptr);
  SSL_CTX* raw = context.get();
  SSL_CTX_set_security_level(raw, kSecurityLevel);
  must(SSL_CTX_set_min_proto_version(raw, TLS1_2_VERSION) == 1);
  must(SSL_CTX_set_cipher_list(raw, kCiphers12) == 1);
  must(SSL_CTX_set_ciphersuites(raw, kCiphers13) == 1);
  must(SSL_CTX_set1_groups_list(raw, kGroups) == 1);
  SSL_CTX_set_options(raw, SSL_OP_NO_RENEGOTIATION | SSL_OP_NO_COMPRESSION | SSL_OP_CIPHER_SERVER_PREFERENCE |
                               SSL_OP_PRIORITIZE_CHACHA);
  return context;
}

void use_certificates(SSL_CTX& context, const TlsIdentity& identity) {
  static constexpr const char* field = "--certificate";
  const BioPtr source = source_of(identity.certificate_pem);
  const CertificatePtr own = source ? next_certificate(*source) : nullptr;
  if (!own) {
    refuse(identity.certificate_file, field, "no certificate in PEM can be read: " + openssl_reason(),
           "Give a file that begins with -----BEGIN CERTIFICATE-----, this server's own first");
  }
  if (SSL_CTX_use_certificate(&context, own.get()) != 1) {
    refuse(identity.certificate_file, field, "the certificate cannot be used: " + openssl_reason(),
           "Ask for one with an ECDSA key on P-256, or an RSA key of 2048 bits or more, signed with SHA-256");
  }
  for (int above = 0;; ++above) {
    const CertificatePtr next = next_certificate(*source);
    if (!next) break;
    if (above == kMostChainCertificates) {
      refuse(identity.certificate_file, field,
             "more than " + std::to_string(kMostChainCertificates) + " certificates stand above the first",
             "Keep only those that lead from this server's own to the authority's");
    }
    if (SSL_CTX_add1_chain_cert(&context, next.get()) != 1) {
      refuse(identity.certificate_file, field, "a certificate above the first cannot be used: " + openssl_reason(),
             "Ask for a chain signed with SHA-256");
    }
  }
  if (ERR_GET_REASON(ERR_peek_last_error()) != PEM_R_NO_START_LINE) {
    refuse(identity.certificate_file, field, "a certificate after the first is broken: " + openssl_reason(),
           "Copy the file again");
  }
  forget_openssl_errors();
}

void use_key(SSL_CTX& context, const TlsIdentity& identity) {
  static constexpr const char* field = "--key";
  const KeyPtr key = private_key(identity.key_pem);
  if (!key) {
    refuse(identity.key_file, field, "no private key in PEM can be read: " + openssl_reason(),
           "Give the certificate's key without a passphrase, in a file that only you may read");
  }
  if (SSL_CTX_use_PrivateKey(&context, key.get()) != 1 || SSL_CTX_check_private_key(&context) != 1) {
    refuse(identity.key_file, field, "this is not the key of the certificate: " + openssl_reason(),
           "Give the key with which the certificate was asked for");
  }
}

}  // namespace

TlsContextPtr make_tls_context(const TlsIdentity& identity) {
  forget_openssl_errors();
  TlsContextPtr context = strict_context();
  use_certificates(*context, identity);
  use_key(*context, identity);
  return context;
}

}  // namespace throughcure::service
