// The description of the API (OpenAPI 3.1), made from the table of routes and the fields of the records.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "throughcure/service/router.hpp"

namespace throughcure::service {

/// The document, as JSON: every route below /api with its summary, parameters, body and answer; `schemas` has those of
/// the bodies and answers that are no records, as an object by name. Throws base::Failure where a route names a schema
/// that is neither there nor a record's.
std::string openapi(const std::vector<Route>& routes, std::string_view schemas, std::string_view version);

/// GET /api/openapi.json over these routes.
Route openapi_route(const std::vector<Route>& routes, std::string_view version);

}  // namespace throughcure::service
