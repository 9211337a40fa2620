// A case as a document that a page edits: the case file as JSON and back, key by key as docs/case.md has them.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/case_files.hpp"
#include "throughcure/plan/case.hpp"

namespace throughcure::exchange {

/// Reads a case from JSON: the keys of a case file as an object, [[exposure]] as an array of objects. Problems name the
/// field, and no line. Say `files.inside_only` for what came over a network. See parse_case (case_file.hpp) for the
/// rest.
std::optional<plan::Case> parse_case_json(std::string_view json, const std::string& name, const CaseFiles& files,
                                          base::Problems& problems);

/// A case file as one line of JSON, keys in the file's order, comments left out. Nothing is checked but that it is TOML
/// and can be JSON (no date, nan or infinity). Throws InputError.
std::string case_document_json(const std::filesystem::path& path);

/// The document back as a case file: `case_document_json` of it gives the same JSON. Nothing but the JSON is checked;
/// throws InputError where it is none, under the file's `name`.
std::string case_document_toml(std::string_view json, const std::string& name = "case.json");

}  // namespace throughcure::exchange
