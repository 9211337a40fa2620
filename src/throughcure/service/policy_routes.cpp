#include "throughcure/service/policy_routes.hpp"

#include <nlohmann/json.hpp>

#include "throughcure/base/problem.hpp"
#include "throughcure/desk/policy.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/desk/verdict_policy.hpp"
#include "throughcure/service/body.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;

constexpr std::int64_t kAsDelivered = 0;  // the revision of a value that nobody has chosen

json row_of(const desk::PolicyEntry& entry, const desk::Policy& policy) {
  const store::Kept<practice::Setting>* const chosen = policy.chosen(entry.name);
  return {{"name", entry.name},
          {"number", policy[entry.name]},
          {"delivered", entry.number},
          {"least", entry.least},
          {"most", entry.most},
          {"unit", entry.unit},
          {"what", entry.what},
          {"origin", chosen == nullptr ? std::string(entry.origin) : chosen->record.origin},
          {"source", chosen == nullptr ? std::string(entry.source) : chosen->record.source},
          {"chosen", chosen != nullptr},
          {"setting", chosen == nullptr ? json(nullptr) : json(chosen->id.number)},
          {"revision", chosen == nullptr ? kAsDelivered : chosen->revision}};
}

Response list(const RecordsDesk& desk) {
  json rows = json::array();
  desk.records->read([&](const store::Reader& reader) {
    const desk::Policy policy(reader);
    for (const desk::PolicyEntry& entry : desk::policy_entries()) rows.push_back(row_of(entry, policy));
  });
  return json_response(200, json{{"values", rows}}.dump() + "\n");
}

/// Chooses it over the revision that was read; gives the value's row.
std::string chosen(store::Writer& writer, const practice::Setting& setting, std::int64_t read) {
  base::refuse_if_any(desk::policy_problems(setting.name, setting.number, setting.source));
  const desk::Policy before(writer);
  if (const auto* const kept = before.chosen(setting.name)) {
    writer.correct(kept->id, read, setting);
  } else if (read != kAsDelivered) {
    throw store::Conflict("this value is as delivered. Read it again, then change it.");
  } else {
    writer.add(setting);
  }
  const desk::Policy after(writer);
  if (setting.name.ends_with("_chance")) base::refuse_if_any(desk::verdict_policy_problems(after));
  json row;
  for (const desk::PolicyEntry& entry : desk::policy_entries()) {
    if (entry.name == setting.name) row = row_of(entry, after);
  }
  return row.dump() + "\n";
}

Response choose(const Call& call, const RecordsDesk& desk) {
  const Body body(call.request.body);
  const double number = body.number("number");
  const std::string source = body.text("source");
  body.finish();
  const std::int64_t read = revision_in_query(call);
  const std::string& name = call.parameters.at("name");
  if (!member_of(call).everywhere) {
    throw desk::Forbidden("These values hold at every site: one who leads everywhere chooses them.");
  }
  std::string document;
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    document = once(writer, call, [&] { return chosen(writer, {name, number, "chosen here", source}, read); });
  });
  return json_response(200, std::move(document));
}

}  // namespace

std::vector<Route> policy_routes(const RecordsDesk& desk) {
  std::vector<Route> routes;
  routes.push_back({Method::get, "/api/policy", Access::signed_in,
                    "The values that the practice may choose, with where they come from.",
                    on_desk(desk, [desk](const Call&) { return list(desk); }), true, "", "PolicyValues"});
  routes.push_back({Method::put, "/api/policy/{name}", Access::lead,
                    "Chooses a value; `revision` is the one that was read, 0 where it was as delivered.",
                    on_desk(desk, [desk](const Call& call) { return choose(call, desk); }), true, "ChosenValue",
                    "PolicyValue", "revision"});
  return routes;
}

}  // namespace throughcure::service
