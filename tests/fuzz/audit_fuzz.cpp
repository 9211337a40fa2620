// The checker of an exported audit log on any bytes: it never breaks, tells of every fault with its line and remedy,
// and what it lets pass is, byte for byte, what the writer would write.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <sstream>
#include <string>

#include "throughcure/exchange/audit_check.hpp"
#include "throughcure/exchange/audit_line.hpp"

using namespace throughcure;

namespace {

void check(bool holds) {
  if (!holds) std::abort();
}

/// The line as its writer would write it.
std::string rewritten(const exchange::AuditLine& line) {
  if (const auto* change = std::get_if<practice::Change>(&line)) return exchange::audit_line(*change);
  if (const auto* head = std::get_if<practice::SignedHead>(&line)) return exchange::audit_line(*head);
  std::abort();
}

void check_lines(const std::string& text) {
  std::istringstream in(text);
  int number = 0;
  for (std::string line; std::getline(in, line);) {
    base::Problems problems;
    const exchange::AuditLine read = exchange::read_audit_line(line, "fuzz.jsonl", ++number, problems);
    check(std::ranges::all_of(problems, [&](const base::Problem& p) { return p.line == number && !p.remedy.empty(); }));
    if (problems.empty()) check(rewritten(read) == line);
  }
}

}  // namespace

// The name is libFuzzer's.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(reinterpret_cast<const char*>(data), size);
  check_lines(text);
  std::istringstream in(text);
  try {
    const exchange::AuditReport report = exchange::check_audit_log(in, "fuzz.jsonl", {}, {});
    check((report.faults == 0) == (report.answer == exchange::AuditAnswer::kConsistent));
    check(report.problems.empty() == (report.faults == 0));
    check(report.problems.size() <= exchange::kMostAuditProblems + 8);
    if (report.faults > 0) return 0;
    check(report.head && practice::is_signed(*report.head) && report.root == report.head->head.root);
    check(report.changes == report.head->head.size && text.ends_with('\n'));
  } catch (const base::InputError& error) {
    check(!error.problems().empty());
  }
  return 0;
}
