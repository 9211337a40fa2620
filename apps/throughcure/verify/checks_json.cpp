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

nlohmann::ordered_json interval_or_null(const Check& check) {
  if (!check.alone_low || !check.alone_high) return nullptr;
  return {{"low", *check.alone_low}, {"high", *check.alone_high}};
}

nlohmann::ordered_json score_json(const Score& score) {
  return {{"rows", score.rows},
          {"inside", score.inside},
          {"median_width", score.median_width},
          {"interval_score", score.mean_score}};
}

nlohmann::ordered_json compared_json(const Compared& compared) {
  nlohmann::ordered_json json = score_json(compared.ours);
  json["constant_mean"] = score_json(compared.constant);
  return json;
}

nlohmann::ordered_json cure_json(const CureSummary& cure) {
  return {{"simulated", cure.shown},
          {"counted", cure.counted},
          {"counted_inside", cure.counted_inside},
          {"central_share", kCentral},
          {"within_laboratory_counted_mm", compared_json(cure.within_counted)},
          {"within_laboratory_mm", compared_json(cure.within_shown)},
          {"across_laboratories_depth_mm", compared_json(cure.across_depths)},
          {"across_laboratories_conversion", compared_json(cure.across_conversions)},
          {"most_missing", text_or_null(cure.most_missing)},
          {"most_missing_rows", cure.most_missing_rows}};
}

}  // namespace

std::string json_text(std::span<const Check> checks, const Summary& sum, const CureSummary& cure) {
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
                    {"why_not", text_or_null(check.why_not)},
                    {"priors_alone", interval_or_null(check)}});
  }
  const nlohmann::ordered_json document = {{"checks", list},
                                           {"counted", sum.counted},
                                           {"counted_inside", sum.counted_inside},
                                           {"not_simulated", sum.not_simulated},
                                           {"most_missing", text_or_null(sum.most_missing)},
                                           {"most_missing_rows", sum.most_missing_rows},
                                           {"cure_summary", cure_json(cure)}};
  return document.dump(2);
}

}  // namespace throughcure::verify
