// Reading a case file: one restoration, its light and its schedule, and the files that it names.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/case_files.hpp"
#include "throughcure/exchange/plain_value.hpp"
#include "throughcure/plan/case.hpp"

namespace throughcure::exchange {

/// Reads a case file and the light and materials that it names; docs/case.md describes it. Sizes of the crown, tissues,
/// steel and the hand come from the reference where the file does not say. Throws InputError with everything that is
/// wrong in any of the files.
plan::Case read_case(const std::filesystem::path& path);

/// The same for a reader of several files: what is wrong is added to `problems`, and nothing is returned then.
std::optional<plan::Case> read_case(const std::filesystem::path& path, base::Problems& problems);

/// The same for text that came from elsewhere; the files that it names may lie anywhere, relative names start from
/// `folder`.
std::optional<plan::Case> parse_case(std::string_view text, std::string name, std::filesystem::path folder,
                                     base::Problems& problems);

/// The same with files from wherever the caller has them.
std::optional<plan::Case> parse_case(std::string_view text, std::string name, const CaseFiles& files,
                                     base::Problems& problems);

/// The same of a document that came as JSON.
std::optional<plan::Case> parse_case(const PlainTable& document, std::string name, const CaseFiles& files,
                                     base::Problems& problems);

}  // namespace throughcure::exchange
