// throughcure audit verify: is an exported audit log the one that was written; and audit export, which makes one.
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <memory>
#include <optional>
#include <sstream>
#include <string>
#include <utility>

#include "audit_text.hpp"
#include "common_options.hpp"
#include "progress_line.hpp"
#include "records_place.hpp"
#include "throughcure/base/hex.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/desk/audit_log.hpp"
#include "throughcure/exchange/audit_export.hpp"
#include "throughcure/service/sessions.hpp"
#include "throughcure/store/against_log.hpp"

namespace throughcure::apps {

namespace {

/// Exit status of a log that is not the one that was written, and of records that are not what it says.
constexpr int kAlteredStatus = 1;

struct AuditOptions {
  std::string file;
  std::string root;
  std::optional<std::int64_t> size;  ///< 0 or more
  std::string key;
  bool json = false;
};

/// 32 bytes as they stand on paper, perhaps in groups.
std::optional<practice::Digest> from_paper(std::string text, const std::string& option, base::Problems& problems) {
  std::erase_if(text, [](char c) { return c == ' ' || c == '-' || c == '\n' || c == '\t'; });
  const auto bytes = base::from_hex<32>(text);
  if (!bytes) {
    problems.push_back({"", 0, 0, option, "'" + text + "' is not 64 hexadecimal digits",
                        "Copy it from the report; blanks between the groups do no harm"});
  }
  return bytes;
}

/// Throws InputError with all that is wrong with the options.
exchange::AuditQuestion question_of(const AuditOptions& options) {
  base::Problems problems;
  exchange::AuditQuestion question;
  if (!options.key.empty()) question.key = from_paper(options.key, "--key", problems);
  if (!options.root.empty()) {
    const auto root = from_paper(options.root, "--root", problems);
    if (root && options.size) question.paper = {.size = static_cast<std::uint64_t>(*options.size), .root = *root};
  }
  if (options.root.empty() == options.size.has_value()) {
    problems.push_back({"", 0, 0, options.root.empty() ? "--root" : "--size", "it is missing beside the other",
                        "Give both --root and --size, as they stand side by side on the report"});
  }
  base::refuse_if_any(problems);
  return question;
}

int run_audit_verify(const AuditOptions& options, const Context& context) {
  const exchange::AuditQuestion question = question_of(options);
  std::ifstream in(options.file, std::ios::binary);
  if (!in || std::filesystem::is_directory(options.file)) {
    throw base::InputError({{options.file, 0, 0, "", "it cannot be opened", "Check the name, and who may read it"}});
  }
  ProgressLine line;
  const exchange::AuditReport report =
      exchange::check_audit_log(in, options.file, question, {.stop = context.stop, .progress = line.sink()});
  line.clear();
  std::cout << (options.json ? audit_json(options.file, question, report) : audit_text(question, report));
  return report.answer == exchange::AuditAnswer::kAltered ? kAlteredStatus : 0;
}

struct ExportOptions {
  RecordsOptions records;
  std::string file;
};

void refuse(const std::string& file, const std::string& what, const std::string& remedy) {
  throw base::InputError({{.file = file, .field = {}, .what = what, .remedy = remedy}});
}

int run_audit_export(const ExportOptions& options, const Context&) {
  const store::Place place = place_of(options.records);
  // Asking for the log of records that are not there must not make them.
  if (const auto* in = std::get_if<store::InFile>(&place); in != nullptr && !std::filesystem::exists(in->path)) {
    refuse(in->path.string(), "there are no records here", "Name the folder of a practice that has begun");
  }
  if (std::filesystem::exists(options.file)) refuse(options.file, "it is there already", "Name a new file");
  const base::Instant now = service::system_now();
  store::Store records(place);
  const practice::SigningKey key(desk::signing_seed(records, now));
  std::ostringstream out;
  exchange::AuditExport log(out);
  desk::each_change(records, [&](const practice::Change& change) { log.add(change); });
  const practice::SignedHead signed_head = log.finish(now, key);
  base::write_private_file(options.file, out.view());
  std::cout << "Exported " << signed_head.head.size << " changes into " << options.file << ".\nTheir root is\n"
            << base::hex(signed_head.head.root) << "\nand the practice's public key\n"
            << base::hex(signed_head.head.key) << "\n";
  store::AgainstLog found;
  records.read([&](const store::Reader& reader) { found = reader.against_log(); });
  if (found.faults == 0) return 0;
  std::cerr << "The log is exported, but the practice's records are not what it says of them: "
            << store::words_of(found) << ". Restore the last good backup.\n";
  return kAlteredStatus;
}

constexpr const char* kProtection = R"(Exit status 0 intact, 1 altered, 2 when it cannot be read at all.

What protects against what:
  FILE alone          damage, and alteration by somebody who cannot sign. Not against somebody who wrote the whole log
                      anew and signed it with a key of their own: the answer then says "consistent", never "intact".
  --key               that too: only the holder of the practice's key can have signed these changes. Not against the
                      holder of the key.
  --root and --size   the holder of the key too: the first N changes are those of the day when the paper was printed,
                      whatever was written since. Keep the signed report where the practice cannot exchange it.
Nothing here tells whether what was written down was true, or whether everything was.

Example:
  throughcure audit verify demo/audit-log.jsonl)";

}  // namespace

void add_audit_command(CLI::App& app, const std::function<void(Action)>& choose) {
  auto options = std::make_shared<AuditOptions>();
  CLI::App* audit = app.add_subcommand("audit", "the log of every change to the practice's records");
  audit->require_subcommand(1);
  CLI::App* command = audit->add_subcommand("verify", "is an exported audit log the one that was written");
  command->add_option("FILE", options->file, "the exported log")->required();
  command->add_option("--root", options->root, "the root printed on a signed report, 64 hexadecimal digits");
  command->add_option("--size", options->size, "how many changes there were then, as printed beside the root")
      ->check(CLI::NonNegativeNumber);
  command->add_option("--key", options->key, "the practice's public key, as printed on the report, 64 such digits");
  add_json(*command, options->json);
  command->footer(kProtection);
  run_when_named(*command, choose, options, run_audit_verify);

  auto exported = std::make_shared<ExportOptions>();
  CLI::App* out = audit->add_subcommand("export", "the practice's log, signed, for \"audit verify\" to check");
  out->add_option("OUT", exported->file, "the file to make; it must not be there yet")->required();
  add_records(*out, exported->records);
  out->footer(
      "What is private in the log (chart numbers, free text) stands in it as a salted hash only.\n"
      "The records themselves are held against the log: where one is not what the log says, the log is exported all\n"
      "the same, the record is named, and the exit status is 1.\n"
      "Example:\n  throughcure audit export --data ~/practice audit-log.jsonl");
  run_when_named(*out, choose, exported, run_audit_export);
}

}  // namespace throughcure::apps
