#include "throughcure/service/certificate.hpp"

#include <array>
#include <memory>

#include <arpa/inet.h>
#include <openssl/asn1.h>
#include <openssl/evp.h>
#include <openssl/x509.h>
#include <openssl/x509v3.h>

#include "throughcure/service/openssl.hpp"

namespace throughcure::service {

namespace {

constexpr std::int64_t kSecond_us = 1'000'000;
constexpr std::int64_t kDay_s = 86'400;

struct FreeTime {
  void operator()(ASN1_TIME* time) const { ASN1_TIME_free(time); }
};
struct FreeNames {
  void operator()(GENERAL_NAMES* names) const { GENERAL_NAMES_free(names); }
};

std::optional<base::Instant> instant_of(const ASN1_TIME* time) {
  const std::unique_ptr<ASN1_TIME, FreeTime> epoch(ASN1_TIME_set(nullptr, 0));
  int days = 0;
  int seconds = 0;
  if (!epoch || time == nullptr || ASN1_TIME_diff(&days, &seconds, epoch.get(), time) != 1) return std::nullopt;
  return base::Instant{(days * kDay_s + seconds) * kSecond_us};
}

std::string address_text(const ASN1_OCTET_STRING& bytes) {
  std::array<char, INET6_ADDRSTRLEN> text{};
  const int length = ASN1_STRING_length(&bytes);
  if (length != 4 && length != 16) return {};
  const int family = length == 4 ? AF_INET : AF_INET6;
  return ::inet_ntop(family, ASN1_STRING_get0_data(&bytes), text.data(), text.size()) == nullptr ? "" : text.data();
}

std::vector<std::string> hosts_of(const X509& certificate) {
  std::vector<std::string> out;
  const std::unique_ptr<GENERAL_NAMES, FreeNames> names(
      static_cast<GENERAL_NAMES*>(X509_get_ext_d2i(&certificate, NID_subject_alt_name, nullptr, nullptr)));
  for (int i = 0; i < sk_GENERAL_NAME_num(names.get()); ++i) {
    const GENERAL_NAME* name = sk_GENERAL_NAME_value(names.get(), i);
    if (name->type == GEN_DNS) {
      const unsigned char* text = ASN1_STRING_get0_data(name->d.dNSName);
      out.emplace_back(text, text + ASN1_STRING_length(name->d.dNSName));
    } else if (name->type == GEN_IPADD) {
      out.push_back(address_text(*name->d.iPAddress));
    }
  }
  return out;
}

std::string fingerprint_of(const X509& certificate) {
  std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
  unsigned size = 0;
  if (X509_digest(&certificate, EVP_sha256(), digest.data(), &size) != 1) return {};
  static constexpr std::string_view digits = "0123456789ABCDEF";
  std::string out;
  for (unsigned i = 0; i < size; ++i) {
    if (i > 0) out += ':';
    out += digits[digest[i] >> 4U];
    out += digits[digest[i] & 0xFU];
  }
  return out;
}

}  // namespace

std::optional<CertificateFacts> certificate_facts(std::string_view pem) {
  const BioPtr source = source_of(pem);
  const CertificatePtr certificate = source ? next_certificate(*source) : nullptr;
  std::optional<CertificateFacts> out;
  if (certificate) {
    const auto begins = instant_of(X509_get0_notBefore(certificate.get()));
    const auto ends = instant_of(X509_get0_notAfter(certificate.get()));
    if (begins && ends) out = {*begins, *ends, hosts_of(*certificate), fingerprint_of(*certificate)};
  }
  forget_openssl_errors();
  return out;
}

std::string fingerprint_sha256(std::string_view pem) {
  const auto facts = certificate_facts(pem);
  return facts ? facts->fingerprint_sha256 : std::string();
}

bool is_ip_address(std::string_view host) {
  const std::string text(host);
  std::array<unsigned char, 16> ignored{};
  return ::inet_pton(AF_INET, text.c_str(), ignored.data()) == 1 ||
         ::inet_pton(AF_INET6, text.c_str(), ignored.data()) == 1;
}

}  // namespace throughcure::service
