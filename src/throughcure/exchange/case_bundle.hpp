// A case as it is kept with a restoration: its document and every file that it names, so that it can be solved again
// when those files have changed or are gone.
#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <string_view>

#include "throughcure/exchange/case_files.hpp"
#include "throughcure/exchange/plain_value.hpp"

namespace throughcure::exchange {

/// Bytes by path, as the case finds them from its folder: "lights/lamp-2.toml", "lights/lamp-2/spectrum.csv".
using BundledFiles = std::map<std::string, std::string>;

/// The light and the materials that the document names, and what those name in turn. Throws InputError with everything
/// that is wrong with the case, and for a file that lies outside of `files.folder`, where it could not be found again.
BundledFiles files_of_case(const PlainTable& document, const CaseFiles& files);

/// Writes them under `folder`, which then serves as the case's. Throws base::Failure, naming the path.
void lay_out(const BundledFiles& bundle, const std::filesystem::path& folder);

/// What is kept in the record: version 1, `{ version, document, files: { path: sha256 }, resolved }`.
struct KeptDocument {
  PlainTable document;
  std::map<std::string, std::string> files;  ///< hash, hexadecimal, by path
  PlainTable resolved;                       ///< for a person to read (resolved_case.hpp)
};

/// The document without what cure does not depend on and a log that is shown to others must not hold: the patient, and
/// the case's name.
PlainTable without_patient(const PlainTable& document);

std::string kept_document_json(const KeptDocument& kept);

/// Reads it back; a document without a version, as older records have it, names no files. Throws InputError, also for
/// a version that is newer than this program.
KeptDocument parse_kept_document(std::string_view json, const std::string& name);

}  // namespace throughcure::exchange
