#include "throughcure/exchange/case_bundle.hpp"

#include <algorithm>
#include <set>
#include <utility>
#include <variant>

#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/exchange/case_file.hpp"
#include "throughcure/exchange/foreign_file.hpp"
#include "throughcure/exchange/json_text.hpp"
#include "throughcure/exchange/toml_document.hpp"

namespace throughcure::exchange {

namespace {

namespace fs = std::filesystem;

constexpr std::int64_t kVersion = 1;
constexpr const char* kVersionKey = "version";
constexpr const char* kDocumentKey = "document";
constexpr const char* kFilesKey = "files";
constexpr const char* kResolvedKey = "resolved";

/// Every text of a table, however deep.
void collect_texts(const PlainTable& table, std::vector<std::string>& texts);

void collect_texts(const PlainValue& value, std::vector<std::string>& texts) {
  if (const auto* text = std::get_if<std::string>(&value.is)) texts.push_back(*text);
  if (const auto* table = std::get_if<PlainTable>(&value.is)) collect_texts(*table, texts);
  if (const auto* list = std::get_if<PlainList>(&value.is)) {
    for (const PlainValue& one : *list) collect_texts(one, texts);
  }
}

void collect_texts(const PlainTable& table, std::vector<std::string>& texts) {
  for (const PlainMember& member : table) collect_texts(member.value, texts);
}

/// Gathers files of a folder, each once, with those that its TOML files name.
class Gathering {
 public:
  explicit Gathering(fs::path folder) : folder_(std::move(folder)) {}

  void take(const fs::path& file) {
    const fs::path inside = file.lexically_normal().lexically_relative(folder_.lexically_normal());
    if (inside.empty() || *inside.begin() == "..") {
      problems_.push_back(
          {.file = file.string(),
           .field = {},
           .what = "it lies outside of the folder of the practice's data, and cannot be kept with a case",
           .remedy = "Move it into that folder, and name it there"});
      return;
    }
    const auto [place, is_new] = files_.try_emplace(inside.generic_string());
    if (!is_new) return;
    if (auto bytes = read_foreign_file(file, kMostPictureBytes, problems_)) place->second = *std::move(bytes);
    if (file.extension() == ".toml") take_named_by(file);
  }

  BundledFiles finish() {
    base::refuse_if_any(problems_);
    return std::move(files_);
  }

 private:
  /// A text that is the name of a file beside it is taken for one: one file too many does no harm.
  void take_named_by(const fs::path& file) {
    std::vector<std::string> texts;
    collect_texts(TomlDocument::open(file).plain(), texts);
    for (const std::string& text : texts) {
      std::error_code no_such_file;
      if (!text.empty() && fs::is_regular_file(file.parent_path() / text, no_such_file)) {
        take(file.parent_path() / text);
      }
    }
  }

  fs::path folder_;
  BundledFiles files_;
  base::Problems problems_;
};

const PlainMember* member(const PlainTable& table, std::string_view key) {
  const auto at = std::ranges::find(table, key, &PlainMember::key);
  return at == table.end() ? nullptr : &*at;
}

PlainTable table_at(const PlainTable& table, std::string_view key) {
  const PlainMember* const found = member(table, key);
  const auto* const inside = found == nullptr ? nullptr : std::get_if<PlainTable>(&found->value.is);
  return inside == nullptr ? PlainTable{} : *inside;
}

}  // namespace

BundledFiles files_of_case(const PlainTable& document, const CaseFiles& files) {
  std::set<fs::path> named;
  CaseFiles watched = files;
  watched.light = [&](const fs::path& path, base::Problems& problems) {
    named.insert(path);
    return files.light(path, problems);
  };
  watched.material = [&](const fs::path& path, base::Problems& problems) {
    named.insert(path);
    return files.material(path, problems);
  };
  base::Problems problems;
  if (!parse_case(document, "restoration", watched, problems)) throw base::InputError(std::move(problems));
  Gathering gathering(files.folder);
  for (const fs::path& file : named) gathering.take(file);
  return gathering.finish();
}

void lay_out(const BundledFiles& bundle, const fs::path& folder) {
  for (const auto& [path, bytes] : bundle) {
    const fs::path file = folder / path;
    std::error_code error;
    fs::create_directories(file.parent_path(), error);
    base::write_file(file, bytes);
  }
}

PlainTable without_patient(const PlainTable& document) {
  PlainTable kept;
  for (const PlainMember& part : document) {
    if (part.key == "patient") continue;
    kept.push_back(part);
    auto* const head = part.key == "case" ? std::get_if<PlainTable>(&kept.back().value.is) : nullptr;
    if (head == nullptr) continue;
    for (PlainMember& said : *head) {
      if (said.key == "name") said.value = plain("restoration");
    }
  }
  return kept;
}

std::string kept_document_json(const KeptDocument& kept) {
  PlainTable files;
  for (const auto& [path, sha256] : kept.files) files.push_back({path, plain(sha256)});
  return json_text({{kVersionKey, plain(static_cast<std::size_t>(kVersion))},
                    {kDocumentKey, plain(kept.document)},
                    {kFilesKey, plain(std::move(files))},
                    {kResolvedKey, plain(kept.resolved)}});
}

KeptDocument parse_kept_document(std::string_view json, const std::string& name) {
  base::Problems problems;
  auto all = parse_json(json, name, problems);
  if (!all) throw base::InputError(std::move(problems));
  const PlainMember* const version = member(*all, kVersionKey);
  if (version == nullptr) return {*std::move(all), {}, {}};
  const auto* const number = std::get_if<std::int64_t>(&version->value.is);
  if (number == nullptr || *number != kVersion) {
    throw base::InputError({{.file = name,
                             .field = kVersionKey,
                             .what = "this program knows version " + std::to_string(kVersion) + " of kept cases only",
                             .remedy = "Use the newer program that kept it"}});
  }
  KeptDocument kept{table_at(*all, kDocumentKey), {}, table_at(*all, kResolvedKey)};
  for (const PlainMember& file : table_at(*all, kFilesKey)) {
    const auto* const sha256 = std::get_if<std::string>(&file.value.is);
    const fs::path path = fs::path(file.key).lexically_normal();
    if (sha256 == nullptr || path.is_absolute() || path.empty() || *path.begin() == "..") {
      throw base::InputError({{.file = name,
                               .field = std::string(kFilesKey) + "." + file.key,
                               .what = "it is no path with a hash",
                               .remedy = "Keep the case again"}});
    }
    kept.files.emplace(file.key, *sha256);
  }
  return kept;
}

}  // namespace throughcure::exchange
