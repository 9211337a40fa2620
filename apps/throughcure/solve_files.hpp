// The files that `solve --out` leaves: sections, fields, the JSON and the resolved case.
#pragma once

#include <filesystem>
#include <string>

#include "solve_text.hpp"
#include "throughcure/base/parallel.hpp"

namespace throughcure::apps {

/// Makes the folder and writes `verdict.json`, `resolved.toml`, `section-mesiodistal.png`, `section-buccolingual.png`
/// and `fields.vti`. Each file is whole or not there.
void write_solve_files(const std::filesystem::path& folder, const Solved& solved, const std::string& json,
                       std::uint64_t seed, const base::Running& running);

}  // namespace throughcure::apps
