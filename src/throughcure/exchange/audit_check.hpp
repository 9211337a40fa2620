// Checks an exported audit log against itself, against its signer's key, and against paper.
#pragma once

#include <cstdint>
#include <istream>
#include <optional>
#include <string>
#include <vector>

#include "throughcure/base/parallel.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/practice/signed_head.hpp"

namespace throughcure::exchange {

/// What a signed report says of the log on the day it was printed.
struct PrintedRoot {
  std::uint64_t size = 0;  ///< how many changes there were
  practice::Digest root{};
};

/// What the asker has from elsewhere than the file. Without either, a log that somebody wrote anew from end to end and
/// signed with a key of their own cannot be told from the true one.
struct AuditQuestion {
  std::optional<practice::PublicKey> key{};  ///< the practice's public key
  std::optional<PrintedRoot> paper{};
};

enum class AuditAnswer {
  kAltered,     ///< not the log as it was written
  kConsistent,  ///< nothing is wrong within the file, but nothing outside of it vouches for all of its changes
  kIntact,      ///< nothing is wrong, and the key that was given signed it, or the paper speaks of all of its changes
};

struct AuditReport {
  AuditAnswer answer = AuditAnswer::kAltered;
  std::uint64_t changes = 0;  ///< that could be read
  std::uint64_t vouched = 0;  ///< how many of them, from the first, the key or the paper vouches for; 0 when altered
  std::optional<practice::Digest> root{};      ///< over them; none where a line could not be read
  std::optional<practice::SignedHead> head{};  ///< of the last line
  std::uint64_t faults = 0;                    ///< all of them
  base::Problems problems{};         ///< kMostAuditProblems of single lines at most, and what is wrong with the whole
  std::vector<std::string> notes{};  ///< odd, but no alteration: sentences
};

inline constexpr std::size_t kMostAuditProblems = 20;
inline constexpr std::size_t kMostAuditLineBytes = std::size_t{1} << 20U;

/// Reads the log line by line, in memory that does not grow with it. Every problem has its line and remedy. Progress is
/// by bytes read, where the stream can tell how many there are. Throws base::InputError when not one line is of an
/// audit log, base::Interrupted when stopped.
AuditReport check_audit_log(std::istream& in, const std::string& name, const AuditQuestion& question,
                            const base::Running& running);

}  // namespace throughcure::exchange
