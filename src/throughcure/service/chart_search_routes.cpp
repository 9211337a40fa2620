#include "throughcure/service/chart_search_routes.hpp"

#include <optional>
#include <string>

#include <nlohmann/json.hpp>

#include "throughcure/base/problem.hpp"
#include "throughcure/desk/chart_search.hpp"
#include "throughcure/service/body.hpp"
#include "throughcure/service/record_json.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;

std::string without_blanks_around(const std::string& text) {
  const std::size_t from = text.find_first_not_of(" \t\n");
  if (from == std::string::npos) return {};
  return text.substr(from, text.find_last_not_of(" \t\n") - from + 1);
}

std::optional<base::Instant> instant_in(const Body& body, std::string_view name, base::Problems& problems) {
  const auto text = body.text_or_none(name);
  if (!text) return std::nullopt;
  const auto at = read_instant(*text);
  if (!at) {
    problems.push_back({.file = {},
                        .field = std::string(name),
                        .what = "it is no instant",
                        .remedy = "Write it as 2026-11-26T08:30:00Z"});
  }
  return at;
}

/// No refusal repeats the chart number.
desk::ChartSearch search_in(const Call& call) {
  const Body body(call.request.body);
  base::Problems problems;
  desk::ChartSearch wanted{.chart = without_blanks_around(body.text("chart")), .tooth = body.text_or_none("tooth")};
  wanted.from = instant_in(body, "from", problems);
  wanted.to = instant_in(body, "to", problems);
  body.finish();
  if (wanted.chart.empty()) {
    problems.push_back({.file = {}, .field = "chart", .what = "it is empty", .remedy = "Type the chart's number"});
  }
  base::refuse_if_any(problems);
  return wanted;
}

Response find(const Call& call, const RecordsDesk& desk, Buckets& searches) {
  const desk::ChartSearch wanted = search_in(call);
  // Who tries numbers one after the other finds out whose they are.
  const auto wait = searches.take(std::to_string(member_of(call).account.number), desk.settings.now());
  if (wait.count() > 0) throw TooSoon(wait);
  desk::FoundRestorations found;
  desk.records->read(
      [&](const store::Reader& reader) { found = desk::restorations_of_chart(reader, member_of(call), wanted); });
  json rows = json::array();
  for (const desk::FoundRestoration& one : found.restorations) {
    rows.push_back({{"id", one.id.number},
                    {"tooth", one.tooth},
                    {"surfaces", one.surfaces},
                    {"placed_at", base::instant_text(one.placed_at)},
                    {"probability", one.probability ? json(*one.probability) : json(nullptr)}});
  }
  const json document{{"restorations", rows}, {"more", found.more}};
  return json_response(200, document.dump(-1, ' ', false, json::error_handler_t::replace) + "\n");
}

}  // namespace

std::vector<Route> chart_search_routes(const RecordsDesk& desk, Buckets& searches) {
  std::vector<Route> routes;
  routes.push_back({Method::post, "/api/restoration-search", Access::assistant,
                    "Restorations on record under a chart number, the newest first; of one tooth or some time alone.",
                    on_desk(desk, [desk, &searches](const Call& call) { return find(call, desk, searches); }), true,
                    "RestorationSearch", "FoundRestorations"});
  return routes;
}

}  // namespace throughcure::service
