// Where a command finds the practice's records.
#pragma once

#include <filesystem>
#include <optional>
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

/// The records and the practice's data folder, which beside a server is known only where it is named.
struct Practice {
  store::Place place;
  std::optional<std::filesystem::path> folder;
};

/// Throws InputError when nothing was named.
Practice practice_of(const RecordsOptions& options);

/// Throws InputError when a folder was named that is not there.
void must_be_folder(const RecordsOptions& options);

}  // namespace throughcure::apps
