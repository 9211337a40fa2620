// A practice's records in one file, made while they are in use; and back again, looked through first.
//
// The file is an SQLite database whatever the records lie in, so that a backup of a server can be restored into a file
// and the other way round. It carries a manifest: of each table its rows and their hash, and the size and root of the
// audit log. The bytes of attached files are in its table
// file_part, wherever they lie at the place.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

#include "throughcure/base/instant.hpp"
#include "throughcure/store/place.hpp"

namespace throughcure::store {

/// What a backup holds, as its manifest says.
struct BackupAbout {
  base::Instant made_at{};
  int version = 0;  ///< of the tables
  std::int64_t tables = 0;
  std::int64_t rows = 0;
  std::uint64_t changes = 0;  ///< in the audit log
  std::string root;           ///< of its tree, hexadecimal
};

/// Copies the records of one moment into a new file, synced and only then put under its name. Throws base::InputError
/// when there are no records, or the file is there already, base::Failure when an attached file is gone or rotten;
/// nothing is left over then.
BackupAbout back_up(const Place& records, const std::filesystem::path& file, base::Instant now);

/// Looks through a backup without changing it: the database's own check, each table against the manifest, every leaf of
/// the audit log against its change, the root, and each attached file against its hash. Throws base::InputError with
/// the first thing that is wrong.
BackupAbout look_through(const std::filesystem::path& file);

/// Looks through it, then makes the records at a place that has none. All or nothing. Throws base::InputError
/// when there are records already, attached files beside where they are to be, or the backup is of a newer program.
BackupAbout restore(const std::filesystem::path& file, const Place& records);

}  // namespace throughcure::store
