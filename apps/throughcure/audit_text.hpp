// What the check of an audit log found, in words and as JSON.
#pragma once

#include <string>

#include "throughcure/exchange/audit_check.hpp"

namespace throughcure::apps {

/// The answer first; then every fault with its line and remedy; then what an asker may compare with paper.
std::string audit_text(const exchange::AuditQuestion& question, const exchange::AuditReport& report);

/// One JSON document.
std::string audit_json(const std::string& file, const exchange::AuditQuestion& question,
                       const exchange::AuditReport& report);

}  // namespace throughcure::apps
