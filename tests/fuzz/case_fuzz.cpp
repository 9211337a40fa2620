// The readers of a case, TOML and JSON, on any bytes: they never break, a case that they vouch for can be used, and a
// document goes from one notation to the other and back unchanged.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>

#include "any_case.hpp"
#include "throughcure/exchange/case_document.hpp"
#include "throughcure/exchange/case_file.hpp"
#include "throughcure/exchange/json_text.hpp"
#include "throughcure/exchange/toml_document.hpp"
#include "throughcure/exchange/toml_text.hpp"

using namespace throughcure;

// The name is libFuzzer's.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const exchange::CaseFiles known = fuzz::any_files();
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  base::Problems problems;
  const auto from_toml = exchange::parse_case(text, "fuzz.toml", known, problems);
  if (from_toml.has_value() != problems.empty()) std::abort();
  if (from_toml) fuzz::check(*from_toml);

  problems.clear();
  const auto from_json = exchange::parse_case_json(text, "fuzz.json", known, problems);
  if (from_json.has_value() != problems.empty()) std::abort();
  if (from_json) fuzz::check(*from_json);

  problems.clear();
  const exchange::TomlDocument file = exchange::TomlDocument::parse(text, "fuzz.toml");
  if (!file.problems().empty()) return 0;
  const exchange::PlainTable document = file.plain();
  if (!file.problems().empty()) return 0;
  const std::string json = exchange::json_text(document);
  const auto back = exchange::parse_json(json, "fuzz.json", problems);
  if (!back ||
      exchange::json_text(exchange::TomlDocument::parse(exchange::toml_text(*back), "back.toml").plain()) != json)
    std::abort();
  return 0;
}
