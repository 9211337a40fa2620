// The API's own description, as the program serves it, for what is held against it.
#pragma once

#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "throughcure/service/openapi.hpp"
#include "unit/service/schema_fault.hpp"

namespace throughcure::tests {

/// Of these routes. It holds every schema, whichever routes there are.
inline nlohmann::json api_description(const std::vector<service::Route>& routes = {}) {
  std::string text;
  service::openapi_route(routes, "1.2.3").handler({}, [&text](const service::Response& told) { text = told.body; });
  return nlohmann::json::parse(text);
}

/// The first thing in which a document is not as the description says of that name; empty: nothing.
inline std::string described_fault(const std::string& name, const nlohmann::json& document) {
  return schema_fault(api_description(), {{"$ref", "#/components/schemas/" + name}}, document, name);
}

}  // namespace throughcure::tests
