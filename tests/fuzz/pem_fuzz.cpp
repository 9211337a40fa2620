// A certificate and a key given by hand, on any bytes: as PEM text as it stands, and as the bytes inside a sound PEM
// frame. Nothing breaks, a refusal names its remedy, and no host that a server would answer to is more than a name.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>

#include "throughcure/base/base64.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/service/certificate.hpp"
#include "throughcure/service/local_certificate.hpp"
#include "throughcure/service/machine_hosts.hpp"
#include "throughcure/service/openssl.hpp"
#include "throughcure/service/tls_context.hpp"

using namespace throughcure;

namespace {

void check(bool holds) {
  if (!holds) std::abort();
}

/// A server takes it, or refuses it and says what to do.
void check_context(const service::TlsIdentity& identity) {
  try {
    check(service::make_tls_context(identity) != nullptr);
  } catch (const base::InputError& error) {
    check(!error.problems().empty() && !error.problems().front().remedy.empty());
  }
}

bool is_plain_name(const std::string& host) {
  return !host.empty() && std::all_of(host.begin(), host.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' || c == '.';
  });
}

void check_certificate(const std::string& pem, const service::TlsIdentity& sound) {
  const auto facts = service::certificate_facts(pem);
  check(service::fingerprint_sha256(pem).size() == (facts ? 95U : 0U));
  // A certificate that cannot be read is never taken; setting TLS up for each of these would only take time.
  if (!facts) return;
  const auto hosts = service::hosts_of_listener("0.0.0.0", {}, facts->hosts);
  check(std::all_of(hosts.begin(), hosts.end(), is_plain_name));
  check_context({pem, sound.key_pem, {}, {}});
}

void check_key(const std::string& pem, const service::TlsIdentity& sound) {
  if (service::private_key(pem) != nullptr) check_context({sound.certificate_pem, pem, {}, {}});
  service::forget_openssl_errors();
}

std::string framed(std::string_view bytes, const std::string& kind) {
  const std::string inside = base::base64(bytes);
  std::string out = "-----BEGIN " + kind + "-----\n";
  for (std::size_t at = 0; at < inside.size(); at += 64) out += inside.substr(at, 64) + "\n";
  return out + "-----END " + kind + "-----\n";
}

}  // namespace

// The name is libFuzzer's.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const service::TlsIdentity sound = service::make_local_certificate({"desk"}, {1'767'600'000'000'000});
  const std::string text(reinterpret_cast<const char*>(data), size);
  check_certificate(text, sound);
  check_certificate(framed(text, "CERTIFICATE"), sound);
  if (text.find("-----BEGIN") != std::string::npos) check_certificate(sound.certificate_pem + text, sound);
  for (const std::string& key : {text, framed(text, "PRIVATE KEY"), framed(text, "EC PRIVATE KEY")}) {
    check_key(key, sound);
  }
  return 0;
}
