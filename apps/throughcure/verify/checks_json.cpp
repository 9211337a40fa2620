#include "checks_json.hpp"

#include <optional>

#include <nlohmann/json.hpp>

namespace throughcure::verify {

namespace {

nlohmann::ordered_json number_or_null(const std::optional<double>& value) {
  return value ? nlohmann::ordered_json(*value) : nlohmann::ordered_json(nullptr);
}

nlohmann::ordered_json text_or_null(const std::string& text) {
  return text.empty() ? nlohmann::ordered_json(nullptr) : nlohmann::ordered_json(text);
}

}  // namespace

std::string json_text(std::span<const Check> checks, const Summary& sum) {
  nlohmann::ordered_json list = nlohmann::ordered_json::array();
  for (const Check& check : checks) {
    list.push_back({{"id", check.id},
                    {"group", check.group},
                    {"source", check.provenance.source},
                    {"kind", base::word(check.provenance.kind)},
                    {"published", check.published},
                    {"ours", number_or_null(check.ours)},
                    {"low", number_or_null(check.low)},
                    {"high", number_or_null(check.high)},
                    {"inside", check.inside},
                    {"counted", check.counted},
                    {"conditioned_on", text_or_null(check.conditioned_on)},
                    {"why_not", text_or_null(check.why_not)}});
  }
  const nlohmann::ordered_json document = {{"checks", list},
                                           {"counted", sum.counted},
                                           {"counted_inside", sum.counted_inside},
                                           {"not_simulated", sum.not_simulated},
                                           {"most_missing", text_or_null(sum.most_missing)},
                                           {"most_missing_rows", sum.most_missing_rows}};
  return document.dump(2);
}

}  // namespace throughcure::verify
