// Records as JSON and back, by what their fields say of themselves (base/record.hpp).
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "throughcure/base/problem.hpp"
#include "throughcure/store/table.hpp"

namespace throughcure::service {

/// {"name": ..., ...}: instants as RFC 3339 text, yes and no as true and false, what is none as null.
std::string record_json(const store::Table& table, const std::vector<base::Value>& values);

/// The values of a document, all of whose keys must be the table's; optional ones may be left out. Adds to `problems`
/// what is wrong; the values are those of the table then too.
std::vector<base::Value> record_values(const store::Table& table, std::string_view document, base::Problems& problems);

/// "2026-11-26T23:40:00Z", with none or 1 to 6 digits of a second, or with another offset than Z (RFC 3339).
std::optional<base::Instant> read_instant(std::string_view text);

/// The schema of a kind's document (JSON Schema 2020-12, as OpenAPI 3.1 has it).
std::string record_schema(const store::Table& table);

}  // namespace throughcure::service
