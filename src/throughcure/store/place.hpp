// Where the records lie: a file beside the program, or a server for groups with many sites.
#pragma once

#include <filesystem>
#include <string>
#include <variant>

namespace throughcure::store {

/// An SQLite file: needs nothing installed. Its folder must exist.
struct InFile {
  std::filesystem::path path;
};

/// A PostgreSQL database, by its connection string: "host=... dbname=...". It must exist and be ours alone.
struct OnServer {
  std::string connection;
};

using Place = std::variant<InFile, OnServer>;

}  // namespace throughcure::store
