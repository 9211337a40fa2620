#include "throughcure/service/tls_identity.hpp"

#include "throughcure/base/write_file.hpp"
#include "throughcure/service/tls_context.hpp"

namespace throughcure::service {

TlsIdentity read_tls_identity(const std::string& certificate_file, const std::string& key_file) {
  return {base::read_file(certificate_file, kMostPemBytes), base::read_file(key_file, kMostPemBytes), certificate_file,
          key_file};
}

}  // namespace throughcure::service
