#include "throughcure/service/local_certificate.hpp"

#include <algorithm>
#include <array>
#include <memory>
#include <optional>
#include <utility>

#include <openssl/asn1.h>
#include <openssl/bn.h>
#include <openssl/ec.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/x509.h>
#include <openssl/x509v3.h>

#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/service/certificate.hpp"
#include "throughcure/service/openssl.hpp"
#include "throughcure/service/tls_context.hpp"

namespace throughcure::service {

namespace {

namespace fs = std::filesystem;

constexpr const char* kCertificateFile = "local-certificate.pem";
constexpr const char* kKeyFile = "local-key.pem";
constexpr int kSerialBits = 127;  // RFC 5280, 4.1.2.2: positive, 20 bytes at most
constexpr std::int64_t kSecond_us = 1'000'000;

/// Throws when a call of the library failed.
void must(bool good) {
  if (!good) throw base::Failure("no certificate can be made on this system: " + openssl_reason());
}

std::int64_t microseconds(std::chrono::days days) {
  return std::chrono::duration_cast<std::chrono::microseconds>(days).count();
}

/// A name as DNS has it: letters, digits, hyphens and dots (RFC 1123, 2.1), so that it means nothing else in an
/// extension's text.
bool is_host_name(std::string_view host) {
  return !host.empty() && host.size() <= 253 && std::all_of(host.begin(), host.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '.';
  });
}

std::string alternative_names(const std::vector<std::string>& hosts) {
  std::string out;
  base::Problems problems;
  for (const std::string& host : hosts) {
    const bool address = is_ip_address(host);
    if (!address && !is_host_name(host)) {
      problems.push_back({{},
                          0,
                          0,
                          "host",
                          "\"" + host + "\" is neither an address nor a name of a machine",
                          "Give it as 192.168.1.5 or as desk.example"});
    }
    out += (out.empty() ? "" : ",") + std::string(address ? "IP:" : "DNS:") + host;
  }
  if (hosts.empty()) problems.push_back({{}, 0, 0, "host", "there is none to make a certificate for", "Name one"});
  base::refuse_if_any(problems);
  return out;
}

void add_extension(X509& certificate, int kind, const std::string& value) {
  X509V3_CTX context{};
  X509V3_set_ctx(&context, &certificate, &certificate, nullptr, nullptr, 0);
  X509_EXTENSION* extension = X509V3_EXT_nconf_nid(nullptr, &context, kind, value.c_str());
  must(extension != nullptr);
  const bool added = X509_add_ext(&certificate, extension, -1) == 1;
  X509_EXTENSION_free(extension);
  must(added);
}

void set_random_serial(X509& certificate) {
  const std::unique_ptr<BIGNUM, decltype(&BN_free)> number(BN_new(), &BN_free);
  must(number && BN_rand(number.get(), kSerialBits, BN_RAND_TOP_ONE, BN_RAND_BOTTOM_ANY) == 1);
  must(BN_to_ASN1_INTEGER(number.get(), X509_get_serialNumber(&certificate)) != nullptr);
}

void set_names(X509& certificate, std::string_view common_name) {
  // The subject is for people to read; browsers look at the alternative names. RFC 5280, A.1 allows it 64 characters.
  X509_NAME* name = X509_get_subject_name(&certificate);
  const std::string text(common_name.substr(0, 64));
  const auto add = [name](const char* field, const std::string& value) {
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): the library takes bytes
    const auto* bytes = reinterpret_cast<const unsigned char*>(value.data());
    must(X509_NAME_add_entry_by_txt(name, field, MBSTRING_UTF8, bytes, static_cast<int>(value.size()), -1, 0) == 1);
  };
  add("O", "throughcure on this machine");
  add("CN", text);
  must(X509_set_issuer_name(&certificate, name) == 1);
}

template <class Write>
std::string pem_of(const Write& write) {
  const BioPtr memory(BIO_new(BIO_s_mem()));
  must(memory && write(memory.get()) == 1);
  char* bytes = nullptr;
  const long size = BIO_get_mem_data(memory.get(), &bytes);
  return {bytes, static_cast<std::size_t>(size)};
}

/// Whether the key is that of the certificate.
bool belong_together(const TlsIdentity& identity) {
  const BioPtr source = source_of(identity.certificate_pem);
  const CertificatePtr certificate = source ? next_certificate(*source) : nullptr;
  const KeyPtr key = private_key(identity.key_pem);
  const bool good = certificate && key && X509_check_private_key(certificate.get(), key.get()) == 1;
  forget_openssl_errors();
  return good;
}

/// Whether somebody else than its owner can read the file or write to it.
bool is_open_to_others(const fs::path& file) {
  std::error_code error;
  const fs::perms rights = fs::status(file, error).permissions();
  return error || (rights & (fs::perms::group_all | fs::perms::others_all)) != fs::perms::none;
}

/// What lies in the folder, when it can still be used.
std::optional<TlsIdentity> kept(const fs::path& folder, const std::vector<std::string>& hosts, base::Instant now) {
  TlsIdentity identity;
  try {
    identity = {base::read_file(folder / kCertificateFile, kMostPemBytes),
                base::read_file(folder / kKeyFile, kMostPemBytes), (folder / kCertificateFile).string(),
                (folder / kKeyFile).string()};
  } catch (const base::InputError&) {
    return std::nullopt;
  }
  const auto facts = certificate_facts(identity.certificate_pem);
  if (!facts || now < facts->begins || facts->ends.us - now.us < microseconds(kRenewedBefore)) return std::nullopt;
  for (const std::string& host : hosts) {
    if (std::find(facts->hosts.begin(), facts->hosts.end(), host) == facts->hosts.end()) return std::nullopt;
  }
  if (is_open_to_others(folder / kKeyFile) || !belong_together(identity)) return std::nullopt;
  return identity;
}

}  // namespace

TlsIdentity make_local_certificate(const std::vector<std::string>& hosts, base::Instant now) {
  const std::string names = alternative_names(hosts);
  const KeyPtr key(EVP_EC_gen("P-256"));
  const CertificatePtr certificate(X509_new());
  must(key && certificate);
  must(X509_set_version(certificate.get(), X509_VERSION_3) == 1);
  set_random_serial(*certificate);
  set_names(*certificate, hosts.front());
  const std::int64_t begins_s = now.us / kSecond_us - std::chrono::seconds(std::chrono::hours(1)).count();
  const std::int64_t lasts_s = std::chrono::seconds(kCertificateLasts).count();
  must(ASN1_TIME_set(X509_getm_notBefore(certificate.get()), begins_s) != nullptr);
  must(ASN1_TIME_set(X509_getm_notAfter(certificate.get()), begins_s + lasts_s - 1) !=
       nullptr);  // RFC 5280: both counted
  must(X509_set_pubkey(certificate.get(), key.get()) == 1);
  add_extension(*certificate, NID_basic_constraints, "critical,CA:FALSE");
  add_extension(*certificate, NID_key_usage, "critical,digitalSignature");
  add_extension(*certificate, NID_ext_key_usage, "serverAuth");
  add_extension(*certificate, NID_subject_key_identifier, "hash");
  add_extension(*certificate, NID_subject_alt_name, names);
  must(X509_sign(certificate.get(), key.get(), EVP_sha256()) > 0);
  TlsIdentity out;
  out.certificate_pem = pem_of([&](BIO* to) { return PEM_write_bio_X509(to, certificate.get()); });
  out.key_pem = pem_of(
      [&](BIO* to) { return PEM_write_bio_PKCS8PrivateKey(to, key.get(), nullptr, nullptr, 0, nullptr, nullptr); });
  return out;
}

TlsIdentity local_certificate(const fs::path& folder, const std::vector<std::string>& hosts, base::Instant now) {
  if (auto there = kept(folder, hosts, now)) return *std::move(there);
  TlsIdentity made = make_local_certificate(hosts, now);
  // Should the power fail between the two, they do not belong together, and both are made anew.
  base::write_private_file(folder / kKeyFile, made.key_pem);
  base::write_file(folder / kCertificateFile, made.certificate_pem);
  return made;
}

}  // namespace throughcure::service
