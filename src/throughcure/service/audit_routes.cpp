#include "throughcure/service/audit_routes.hpp"

#include <algorithm>
#include <sstream>

#include <nlohmann/json.hpp>

#include "throughcure/base/hex.hpp"
#include "throughcure/desk/audit_log.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/exchange/audit_export.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;

constexpr std::int64_t kMostAtOnce = 200;

json fields_of(const practice::Fields& fields) {
  json rows = json::array();
  for (const practice::Field& field : fields) {
    const auto* const text = std::get_if<std::string>(&field.value);
    rows.push_back({{"field", field.name}, {"text", text == nullptr ? json(nullptr) : json(*text)}});
  }
  return rows;
}

void must_lead_everywhere(const Call& call) {
  if (member_of(call).everywhere) return;
  throw desk::Forbidden("The log holds what all sites do: one who leads everywhere reads and exports it.");
}

Response list(const Call& call, const RecordsDesk& desk) {
  must_lead_everywhere(call);
  const std::int64_t count = std::clamp(number_in_query(call, "count").value_or(50), std::int64_t{1}, kMostAtOnce);
  const auto before = number_in_query(call, "before");
  json document;
  desk.records->read([&](const store::Reader& reader) {
    const practice::RightEdge edge = reader.edge();
    const auto size = static_cast<std::int64_t>(edge.size());
    const std::int64_t end = std::clamp(before.value_or(size + 1), std::int64_t{1}, size + 1);
    const std::int64_t first = std::max(std::int64_t{1}, end - count);
    json rows = json::array();
    auto piece = reader.changes(static_cast<std::uint64_t>(first), static_cast<std::size_t>(end - first));
    std::ranges::reverse(piece);
    for (const practice::Change& change : piece) {
      rows.push_back({{"number", change.number},
                      {"at", base::instant_text(change.at)},
                      {"name", name_of(reader, change.person)},
                      {"kind", change.kind},
                      {"record", change.record},
                      {"is_new", desk::begins_a_record(change)},
                      {"before", fields_of(change.before)},
                      {"after", fields_of(change.after)}});
    }
    document = {
        {"size", size}, {"root", base::hex(edge.root())}, {"key", desk::public_key_text(reader)}, {"changes", rows}};
  });
  return json_response(200, document.dump(-1, ' ', false, json::error_handler_t::replace) + "\n");
}

Response whole(const Call& call, const RecordsDesk& desk) {
  must_lead_everywhere(call);
  const practice::SigningKey key(desk::signing_seed(*desk.records, desk.settings.now()));
  std::ostringstream out;
  exchange::AuditExport writer(out);
  desk::each_change(*desk.records, [&](const practice::Change& change) { writer.add(change); });
  writer.finish(desk.settings.now(), key);
  Response response = text_response(200, "application/x-ndjson", std::move(out).str());
  response.headers.push_back({"content-disposition", "attachment; filename=\"audit-log.jsonl\""});
  return response;
}

}  // namespace

std::vector<Route> audit_routes(const RecordsDesk& desk) {
  std::vector<Route> routes;
  routes.push_back({Method::get, "/api/audit", Access::lead,
                    "Changes of the audit log, newest first; its size, its root and the key that signs it.",
                    on_desk(desk, [desk](const Call& call) { return list(call, desk); }), true, "", "AuditLog",
                    "before count"});
  Route whole_log{Method::get, "/api/audit/export", Access::lead,
                  "The whole log with its signed head: \"throughcure audit verify\" checks it.",
                  on_desk(desk, [desk](const Call& call) { return whole(call, desk); })};
  whole_log.gives_media = "application/x-ndjson";
  routes.push_back(std::move(whole_log));
  return routes;
}

}  // namespace throughcure::service
