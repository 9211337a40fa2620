// Writes an audit log for others to check: a line a change, then the signed head.
#pragma once

#include <ostream>

#include "throughcure/base/instant.hpp"
#include "throughcure/practice/change.hpp"
#include "throughcure/practice/merkle.hpp"
#include "throughcure/practice/signed_head.hpp"

namespace throughcure::exchange {

/// Writes one export, change by change: memory does not grow with the log.
class AuditExport {
 public:
  /// `out` must outlive this.
  explicit AuditExport(std::ostream& out) : out_(out) {}

  /// The next change. Throws base::InputError when it is not fit for the log, base::Failure when its number is not the
  /// next one or it cannot be written.
  void add(const practice::Change& change);

  /// Ends the export with the head over all that was added. Call it once, at the end. Throws base::Failure when it
  /// cannot be written.
  practice::SignedHead finish(base::Instant at, const practice::SigningKey& key);

 private:
  void write(const std::string& line);
  std::ostream& out_;
  practice::RightEdge edge_;
};

}  // namespace throughcure::exchange
