#include "throughcure/exchange/audit_export.hpp"

#include <string>

#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/audit_line.hpp"

namespace throughcure::exchange {

void AuditExport::add(const practice::Change& change) {
  if (change.number != edge_.size() + 1) {
    throw base::Failure("the audit log has a gap: change " + std::to_string(change.number) + " came after change " +
                        std::to_string(edge_.size()));
  }
  const std::string line = audit_line(change);
  edge_.append(practice::leaf_hash(practice::leaf_bytes(change)));
  write(line);
}

practice::SignedHead AuditExport::finish(base::Instant at, const practice::SigningKey& key) {
  practice::SignedHead head = practice::signed_head(edge_.size(), edge_.root(), at, key);
  write(audit_line(head));
  return head;
}

void AuditExport::write(const std::string& line) {
  out_ << line << '\n';
  if (!out_) throw base::Failure("the audit log cannot be written");
}

}  // namespace throughcure::exchange
