#include "throughcure/service/tls_context.hpp"

#include <memory>
#include <string>
#include <utility>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/rsa.h>
#include <openssl/ssl.h>
#include <openssl/x509.h>

#include "throughcure/base/problem.hpp"
#include "throughcure/service/local_certificate.hpp"

namespace throughcure::service {
namespace {

using testing::AllOf;
using testing::HasSubstr;

TlsIdentity good() {
  TlsIdentity identity = make_local_certificate({"desk"}, {1'767'600'000'000'000});
  identity.certificate_file = "chain.pem";
  identity.key_file = "key.pem";
  return identity;
}

/// Why it is refused; empty when it is taken.
std::string refusal(const TlsIdentity& identity) {
  try {
    return make_tls_context(identity) ? "" : "no context";
  } catch (const base::InputError& error) {
    return error.what();
  }
}

template <class Write>
std::string pem_of(const Write& write) {
  const BioPtr memory(BIO_new(BIO_s_mem()));
  EXPECT_EQ(write(memory.get()), 1);
  char* bytes = nullptr;
  const long size = BIO_get_mem_data(memory.get(), &bytes);
  return {bytes, static_cast<std::size_t>(size)};
}

/// A certificate that signs itself with that key and digest.
TlsIdentity signed_by(EVP_PKEY* key, const EVP_MD* digest) {
  const CertificatePtr certificate(X509_new());
  X509_set_version(certificate.get(), X509_VERSION_3);
  ASN1_TIME_set(X509_getm_notBefore(certificate.get()), 0);
  ASN1_TIME_set(X509_getm_notAfter(certificate.get()), 2'000'000'000);
  X509_set_pubkey(certificate.get(), key);
  EXPECT_GT(X509_sign(certificate.get(), key, digest), 0);
  TlsIdentity identity = good();
  identity.certificate_pem = pem_of([&](BIO* to) { return PEM_write_bio_X509(to, certificate.get()); });
  identity.key_pem =
      pem_of([&](BIO* to) { return PEM_write_bio_PKCS8PrivateKey(to, key, nullptr, nullptr, 0, nullptr, nullptr); });
  return identity;
}

TEST(TlsContext, TakesItsOwnAndAChain) {
  TlsIdentity identity = good();
  EXPECT_EQ(refusal(identity), "");
  for (int i = 0; i < 10; ++i) identity.certificate_pem += "\nin between\n" + good().certificate_pem;
  EXPECT_EQ(refusal(identity), "");
  identity.certificate_pem += good().certificate_pem;
  EXPECT_THAT(refusal(identity), HasSubstr("more than 10 certificates"));
}

TEST(TlsContext, TakesRsaOf2048BitsAndNoWeaker) {
  EXPECT_EQ(refusal(signed_by(KeyPtr(EVP_RSA_gen(2048)).get(), EVP_sha256())), "");
  EXPECT_THAT(refusal(signed_by(KeyPtr(EVP_RSA_gen(1024)).get(), EVP_sha256())),
              AllOf(HasSubstr("chain.pem"), HasSubstr("key too small"), HasSubstr("2048 bits or more")));
}

TEST(TlsContext, SaysWhatIsWrongWithTheCertificate) {
  TlsIdentity identity = good();
  const std::string whole = identity.certificate_pem;
  for (const std::string& text : {std::string(), std::string("hello"), identity.key_pem}) {
    identity.certificate_pem = text;
    EXPECT_THAT(refusal(identity), AllOf(HasSubstr("chain.pem: --certificate: no certificate in PEM"),
                                         HasSubstr("-----BEGIN CERTIFICATE-----")));
  }
  identity.certificate_pem = whole + whole.substr(0, whole.size() / 2) + "\n-----END CERTIFICATE-----\n";
  EXPECT_THAT(refusal(identity), HasSubstr("after the first is broken"));
}

TEST(TlsContext, SaysWhatIsWrongWithTheKey) {
  TlsIdentity identity = good();
  identity.key_pem = good().key_pem;
  EXPECT_THAT(refusal(identity), AllOf(HasSubstr("key.pem: --key"), HasSubstr("not the key of the certificate")));
  identity.key_pem = identity.certificate_pem;
  EXPECT_THAT(refusal(identity), HasSubstr("no private key in PEM"));
}

TEST(TlsContext, AsksNobodyForAPassphrase) {
  TlsIdentity identity = good();
  const KeyPtr key = private_key(identity.key_pem);
  identity.key_pem = pem_of([&](BIO* to) {
    return PEM_write_bio_PKCS8PrivateKey(to, key.get(), EVP_aes_256_cbc(), "secret", 6, nullptr, nullptr);
  });
  ASSERT_THAT(identity.key_pem, HasSubstr("ENCRYPTED"));
  EXPECT_THAT(refusal(identity), HasSubstr("without a passphrase"));
}

}  // namespace
}  // namespace throughcure::service
