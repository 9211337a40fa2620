#include "throughcure/service/openapi.hpp"

#include <algorithm>

#include <nlohmann/json.hpp>

#include "throughcure/base/problem.hpp"
#include "throughcure/embedded/api_schemas.hpp"
#include "throughcure/service/record_json.hpp"
#include "throughcure/store/all_kinds.hpp"
#include "throughcure/store/table.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;

json schema_ref(const std::string& name) { return {{"$ref", "#/components/schemas/" + name}}; }

json object(json properties) {
  json required = json::array();
  for (const auto& [name, schema] : properties.items()) required.push_back(name);
  return {{"type", "object"},
          {"properties", std::move(properties)},
          {"required", required},
          {"additionalProperties", false}};
}

json array_of(json items) { return {{"type", "array"}, {"items", std::move(items)}}; }

/// A record's own schema, and those of the documents that carry it.
void add_record_schemas(json& schemas) {
  const json whole{{"type", "integer"}};
  const json text{{"type", "string"}};
  store::AllKinds::each([&]<class Record>(std::type_identity<Record>) {
    const store::Table table = store::table_of<Record>();
    const std::string kind(table.kind);
    schemas[kind] = json::parse(record_schema(table));
    schemas["Kept_" + kind] = object({{"id", whole}, {"revision", whole}, {"record", schema_ref(kind)}});
    schemas["List_" + kind] =
        object({{"records", array_of(schema_ref("Kept_" + kind))}, {"more", {{"type", "boolean"}}}});
    schemas["History_" + kind] =
        object({{"revisions", array_of(object({{"revision", whole},
                                               {"at", {{"type", "string"}, {"format", "date-time"}}},
                                               {"person", text},
                                               {"name", text},
                                               {"record", schema_ref(kind)}}))}});
  });
}

/// "{id}" and "?limit" as OpenAPI has them.
json parameters_of(const Route& route) {
  json all = json::array();
  for (std::size_t from = route.pattern.find('{'); from != std::string::npos;
       from = route.pattern.find('{', from + 1)) {
    const std::size_t to = route.pattern.find('}', from);
    all.push_back({{"name", route.pattern.substr(from + 1, to - from - 1)},
                   {"in", "path"},
                   {"required", true},
                   {"schema", {{"type", "string"}}}});
  }
  std::size_t from = 0;
  while (from < route.queries.size()) {
    const std::size_t to = std::min(route.queries.find(' ', from), route.queries.size());
    all.push_back({{"name", route.queries.substr(from, to - from)}, {"in", "query"}, {"schema", {{"type", "string"}}}});
    from = to + 1;
  }
  return all;
}

std::string_view who(Access access) {
  switch (access) {
    case Access::open:
      return "anybody";
    case Access::signed_in:
      return "anybody who is signed in";
    case Access::assistant:
      return "an assistant, a clinician or the lead";
    case Access::clinician:
      return "a clinician or the lead";
    case Access::lead:
      return "the lead, signed in by password";
  }
  return "";
}

std::string method_of(Method method) {
  std::string name(method_name(method));
  std::ranges::transform(name, name.begin(),
                         [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  return name;
}

json content(const std::string& schema) { return {{"application/json", {{"schema", schema_ref(schema)}}}}; }

json operation_of(const Route& route) {
  json operation{{"summary", route.summary},
                 {"description", "For " + std::string(who(route.access)) + "."},
                 {"parameters", parameters_of(route)}};
  if (route.access == Access::open) operation["security"] = json::array();
  if (!route.takes.empty()) operation["requestBody"] = {{"required", true}, {"content", content(route.takes)}};
  json done{{"description", "Done"}};
  if (!route.gives.empty()) done["content"] = content(route.gives);
  if (!route.gives_media.empty()) done["content"] = {{route.gives_media, json::object()}};
  operation["responses"] = {{"2XX", done},
                            {"4XX", {{"description", "Refused, with what to do"}, {"content", content("Refusal")}}}};
  return operation;
}

void must_be_described(const json& schemas, const Route& route, const std::string& name) {
  if (name.empty() || schemas.contains(name)) return;
  throw base::Failure("the API's description lacks the schema \"" + name + "\" of " + route.pattern);
}

}  // namespace

std::string openapi(const std::vector<Route>& routes, std::string_view schemas, std::string_view version) {
  json all = json::parse(schemas);
  add_record_schemas(all);
  json paths = json::object();
  for (const Route& route : routes) {
    if (!route.pattern.starts_with("/api/") || route.pattern.find("...") != std::string::npos) continue;
    must_be_described(all, route, route.takes);
    must_be_described(all, route, route.gives);
    paths[route.pattern][method_of(route.method)] = operation_of(route);
  }
  const json security{{"session",
                       {{"type", "apiKey"},
                        {"in", "cookie"},
                        {"name", "throughcure"},
                        {"description", "The session's cookie; its name ends in the port"}}},
                      {"page",
                       {{"type", "apiKey"},
                        {"in", "header"},
                        {"name", "x-throughcure-token"},
                        {"description", "The page's token, with every change"}}}};
  return json{{"openapi", "3.1.0"},
              {"info",
               {{"title", "throughcure"},
                {"version", version},
                {"description",
                 "Lights, checks and restorations of one practice. Numbers carry their units in their names."}}},
              {"paths", paths},
              {"security", json::array({{{"session", json::array()}, {"page", json::array()}}})},
              {"components", {{"schemas", all}, {"securitySchemes", security}}}}
             .dump(1) +
         "\n";
}

Route openapi_route(const std::vector<Route>& routes, std::string_view version) {
  const std::string document = openapi(routes, embedded::api_schemas().front().bytes, version);
  return {Method::get, "/api/openapi.json", Access::open, "This description.",
          at_once([document](const Call&) { return text_response(200, "application/json", document); })};
}

}  // namespace throughcure::service
