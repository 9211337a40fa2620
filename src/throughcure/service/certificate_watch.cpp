#include "throughcure/service/certificate_watch.hpp"

#include <exception>
#include <utility>

#include "throughcure/service/certificate.hpp"

namespace throughcure::service {

CertificateWatch::CertificateWatch(TlsIdentity shown, std::function<TlsIdentity()> current,
                                   std::function<void(const TlsIdentity&)> show,
                                   std::function<void(std::string_view)> log)
    : shown_(std::move(shown)), current_(std::move(current)), show_(std::move(show)), log_(std::move(log)) {}

void CertificateWatch::look() {
  try {
    TlsIdentity now = current_();
    if (now.certificate_pem != shown_.certificate_pem || now.key_pem != shown_.key_pem) {
      show_(now);
      shown_ = std::move(now);
      if (const auto facts = certificate_facts(shown_.certificate_pem)) {
        log_("A new certificate is shown from now on, valid until " + base::instant_text(facts->ends).substr(0, 10) +
             "; its SHA-256 fingerprint: " + facts->fingerprint_sha256);
      }
    }
    told_.clear();
  } catch (const std::exception& error) {
    if (told_ == error.what()) return;
    told_ = error.what();
    log_("The certificate could not be renewed, and the one before goes on: " + told_);
  }
}

}  // namespace throughcure::service
