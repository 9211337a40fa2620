#include "audit_text.hpp"

#include <cstdint>
#include <string>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "throughcure/base/hex.hpp"
#include "throughcure/base/instant.hpp"

namespace throughcure::apps {

namespace {

using exchange::AuditAnswer;
using exchange::AuditQuestion;
using exchange::AuditReport;
using Json = nlohmann::ordered_json;

constexpr const char* kForged =
    "Whoever wrote the whole log anew and signed it with another key would get the same answer: give --key, or --root "
    "and --size, as printed on a signed report.";

std::string changes(std::uint64_t count) { return fmt::format("{} change{}", count, count == 1 ? "" : "s"); }

std::string sentence_by_key(const AuditQuestion& question, const AuditReport& report) {
  const std::string signing =
      fmt::format("Intact: {}, as the key that you gave signed them at {}", changes(report.changes),
                  report.head ? base::instant_text(report.head->head.at) : "");
  if (question.paper) return fmt::format("{}, and the first {} as on paper.", signing, question.paper->size);
  return signing +
         ". If the holder of the key had written them anew, only a printed root could tell: give --root and --size.";
}

std::string sentence_by_paper(const AuditReport& report) {
  if (report.vouched == report.changes) return fmt::format("Intact: {}, all as on paper.", changes(report.changes));
  const std::string first = report.vouched == 0 ? "Consistent with itself; the paper is older than its first change. "
                                                : fmt::format("Intact up to change {}, as on paper. ", report.vouched);
  return first + fmt::format("From change {} on it is consistent with itself, and no more is known: give --key.",
                             report.vouched + 1);
}

std::string sentence(const AuditQuestion& question, const AuditReport& report) {
  if (report.answer == AuditAnswer::kAltered) {
    return fmt::format("Altered: this is not the log as it was written. {} fault{}.", report.faults,
                       report.faults == 1 ? "" : "s");
  }
  if (question.key) return sentence_by_key(question, report);
  if (question.paper) return sentence_by_paper(report);
  return fmt::format("Consistent with itself, {}, and no more is known: nobody said whose key must have signed it. {}",
                     changes(report.changes), kForged);
}

const char* word(AuditAnswer answer) {
  switch (answer) {
    case AuditAnswer::kAltered:
      return "altered";
    case AuditAnswer::kConsistent:
      return "consistent";
    case AuditAnswer::kIntact:
      return "intact";
  }
  return "";
}

}  // namespace

std::string audit_text(const AuditQuestion& question, const AuditReport& report) {
  std::string text = sentence(question, report) + '\n';
  for (const base::Problem& problem : report.problems) text += "  " + base::sentence(problem) + '\n';
  if (report.faults > report.problems.size()) {
    text += fmt::format("  ... and {} more.\n", report.faults - report.problems.size());
  }
  for (const std::string& note : report.notes) text += "Note: " + note + '\n';
  text += fmt::format("\nchanges  {}\n", report.changes);
  if (report.root) text += fmt::format("root     {}\n", base::hex(*report.root));
  if (report.head) {
    text += fmt::format("signed   {}\nkey      {}\n", base::instant_text(report.head->head.at),
                        base::hex(report.head->head.key));
  }
  return text;
}

std::string audit_json(const std::string& file, const AuditQuestion& question, const AuditReport& report) {
  Json out{{"file", file},
           {"answer", word(report.answer)},
           {"sentence", sentence(question, report)},
           {"changes", report.changes},
           {"vouched_changes", report.vouched},
           {"key_given", question.key.has_value()},
           {"paper_given", question.paper.has_value()}};
  if (report.root) out["root"] = base::hex(*report.root);
  if (report.head) {
    out["head"] = {{"size", report.head->head.size},
                   {"root", base::hex(report.head->head.root)},
                   {"at", base::instant_text(report.head->head.at)},
                   {"key", base::hex(report.head->head.key)}};
  }
  out["faults"] = report.faults;
  out["problems"] = Json::array();
  for (const base::Problem& problem : report.problems) {
    out["problems"].push_back(
        {{"line", problem.line}, {"field", problem.field}, {"what", problem.what}, {"remedy", problem.remedy}});
  }
  out["notes"] = report.notes;
  return out.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace throughcure::apps
