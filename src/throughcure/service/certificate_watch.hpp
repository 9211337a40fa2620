// The certificate of a server that runs for months: looked at again while it runs, and shown anew when it is another.
#pragma once

#include <chrono>
#include <functional>
#include <string>
#include <string_view>

#include "throughcure/service/tls_identity.hpp"

namespace throughcure::service {

/// How often a running server looks; chosen here. Reading two small files costs nothing.
inline constexpr std::chrono::minutes kCertificateLookedAt{1};

class CertificateWatch {
 public:
  /// `shown` is what the server shows so far. `current` reads or makes what it should show now, and `show` shows it;
  /// both may throw. `log` is told of a new certificate, and of what went wrong.
  CertificateWatch(TlsIdentity shown, std::function<TlsIdentity()> current,
                   std::function<void(const TlsIdentity&)> show, std::function<void(std::string_view)> log);

  /// Shows the current one where it is another. Where it cannot be read or used, as while only one of its two files has
  /// been replaced, the one before goes on; the same trouble is told once. Throws nothing.
  void look();

 private:
  TlsIdentity shown_;
  std::function<TlsIdentity()> current_;
  std::function<void(const TlsIdentity&)> show_;
  std::function<void(std::string_view)> log_;
  std::string told_;  ///< trouble that was told and is not over
};

}  // namespace throughcure::service
