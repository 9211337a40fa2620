#include "throughcure/exchange/case_document.hpp"

#include "throughcure/exchange/case_file.hpp"
#include "throughcure/exchange/json_text.hpp"
#include "throughcure/exchange/toml_document.hpp"
#include "throughcure/exchange/toml_text.hpp"

namespace throughcure::exchange {

std::optional<plan::Case> parse_case_json(std::string_view json, const std::string& name, const CaseFiles& files,
                                          base::Problems& problems) {
  const auto document = parse_json(json, name, problems);
  if (!document) return std::nullopt;
  return parse_case(*document, name, files, problems);
}

std::string case_document_json(const std::filesystem::path& path) {
  const TomlDocument file = TomlDocument::open(path);
  const PlainTable document = file.plain();
  base::refuse_if_any(file.problems());
  return json_text(document);
}

std::string case_document_toml(std::string_view json, const std::string& name) {
  base::Problems problems;
  const auto document = parse_json(json, name, problems);
  if (!document) throw base::InputError(std::move(problems));
  return toml_text(*document);
}

}  // namespace throughcure::exchange
