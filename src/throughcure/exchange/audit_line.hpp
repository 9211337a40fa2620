// One line of an exported audit log: a change, or the signed head that ends it.
#pragma once

#include <string>
#include <string_view>
#include <variant>

#include "throughcure/base/problem.hpp"
#include "throughcure/practice/change.hpp"
#include "throughcure/practice/signed_head.hpp"

namespace throughcure::exchange {

/// What the head says that the file is: its kind and the version of its lines.
inline constexpr std::string_view kAuditFormat = "throughcure audit log 1";

/// The change as one JSON object, without a line's end; of a private value only {"private": commitment in hexadecimal
/// digits}; at the end the hash of its leaf, which tells where a log was altered. Throws base::InputError with what
/// keeps the change out of the log (practice::problems_with).
std::string audit_line(const practice::Change& change);

/// The head as one JSON object, without a line's end. Throws base::Failure where its instant cannot be written.
std::string audit_line(const practice::SignedHead& head);

/// A line that says nothing that can be used.
struct NoAuditLine {};
using AuditLine = std::variant<NoAuditLine, practice::Change, practice::SignedHead>;

/// Reads a line; `number` counts from 1. All that is wrong with it is added to `problems`: text that is no JSON, fields
/// that are missing or not known, a change whose hash is not the one beside it, and any way of writing it but that of
/// audit_line (a blank more is an alteration too). What it says is returned even then, as far as it can be read.
AuditLine read_audit_line(std::string_view text, const std::string& file, int number, base::Problems& problems);

}  // namespace throughcure::exchange
