#include "throughcure/service/look_back_rows.hpp"

#include <algorithm>
#include <utility>

#include <nlohmann/json.hpp>

#include "throughcure/base/given.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/names.hpp"
#include "throughcure/service/json_value.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;
using store::Kept;

constexpr std::int64_t kUsual = 100;
constexpr std::int64_t kMostAtOnce = 1000;

json decision_json(const store::Reader& reader, const desk::LookBackPart& part, desk::Names& names) {
  if (!part.decision) return nullptr;
  const practice::Decision decided = base::given(reader.get<practice::Decision>(*part.decision)).record;
  return {{"id", part.decision->number},
          {"what", std::get<std::string>(base::Kept<practice::Followup>::to(decided.what))},
          {"reason", decided.reason},
          {"signed_by_name", names.of(decided.signed_by)},
          {"signed_at", base::instant_text(decided.signed_at)}};
}

json row_of(const store::Reader& reader, const desk::Ranked& one, const OpenedLookBack& all, desk::Names& names) {
  const Kept<practice::Restoration> kept = desk::without_case(reader, one.part.restoration);
  const practice::Restoration& made = kept.record;
  const fleet::OutputSpread output = all.output->spread(made.placed_at);
  std::optional<double> chance;
  std::optional<std::string> why_not;
  if (one.result != nullptr) {
    chance = one.result->chance_under_cured;
    if (!chance) why_not = base::given(reader.get<practice::Recomputed>(one.result->recomputed)).record.why_not;
  }
  return {{"id", kept.id.number},
          {"revision", kept.revision},
          {"chart", made.chart},
          {"tooth", made.tooth},
          {"surfaces", made.surfaces},
          {"placed_at", base::instant_text(made.placed_at)},
          {"placed_by_name", names.of(made.placed_by)},
          {"material", made.material},
          {"lot", made.lot},
          {"probability_then", or_null(made.probability)},
          {"has_case", one.part.has_case},
          {"chance_under_cured", or_null(chance)},
          {"why_not", or_null(why_not)},
          {"chance_too_weak", one.chance_too_weak},
          {"output", {{"p10", output.p10}, {"p50", output.p50}, {"p90", output.p90}}},
          {"decision", decision_json(reader, one.part, names)}};
}

std::string text_of(const json& value) { return value.dump(-1, ' ', false, json::error_handler_t::replace); }

}  // namespace

PageAsked page_asked(const Call& call) {
  PageAsked asked{.limit = static_cast<std::size_t>(
                      std::clamp(number_in_query(call, "limit").value_or(kUsual), std::int64_t{1}, kMostAtOnce)),
                  .after = text_in_query(call, "after"),
                  .only = {}};
  if (const auto word = text_in_query(call, "decision")) {
    const auto* const at = std::ranges::find(desk::kDecisionStates, *word);
    if (at == desk::kDecisionStates.end()) {
      base::refuse("decision", "it is none of undecided, recall, watch, none", "Name one of them, or leave it out");
    }
    asked.only = static_cast<desk::DecisionState>(at - desk::kDecisionStates.begin());
  }
  return asked;
}

std::string page_json(const store::Reader& reader, const OpenedLookBack& all, const desk::LookBackRanking& ranking,
                      const PageAsked& asked) {
  const desk::LookBackRanking::Page page = ranking.page(asked.limit, asked.after, asked.only);
  desk::Names names(reader);
  json rows = json::array();
  for (const desk::Ranked* const one : page.rows) rows.push_back(row_of(reader, *one, all, names));
  json counts{{"all", ranking.all().size()}};
  for (std::size_t i = 0; i < desk::kDecisionStates.size(); ++i) {
    counts[std::string(desk::kDecisionStates.at(i))] = ranking.counts().at(i);
  }
  return R"("counts":)" + text_of(counts) + R"(,"restorations":)" + text_of(rows) + R"(,"after":)" +
         text_of(or_null(page.after));
}

}  // namespace throughcure::service
