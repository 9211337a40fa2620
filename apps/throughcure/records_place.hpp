// Where a command finds the practice's records.
#pragma once

#include <filesystem>
#include <string>

#include <CLI/CLI.hpp>

#include "throughcure/store/place.hpp"

namespace throughcure::apps {

/// The file of the records in a practice's folder.
inline constexpr const char* kRecordsFile = "records.db";

/// As the command line said it: a folder, or a server.
struct RecordsOptions {
  std::string data;
  std::string server;
};
void add_records(CLI::App& command, RecordsOptions& options);

/// Throws InputError when nothing or both were named, or the folder is none.
store::Place place_of(const RecordsOptions& options);

}  // namespace throughcure::apps
