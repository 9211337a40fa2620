// A practice's records in one file, made while they are in use; and back again, looked through first.
//
// The file is an SQLite database whatever the records lie in, so that a backup of a server can be restored into a file
// and the other way round. It carries a manifest: of each table its rows and their hash, and the size and root of the
// audit log. The bytes of attached files are in its table
// file_part, wherever they lie at the place. A file that is gone or rotten there stops no backup: all else goes in, and
// the manifest names it. The practice's own files in the data folder (folder_files.hpp) go in too.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "throughcure/base/instant.hpp"
#include "throughcure/store/against_log.hpp"
#include "throughcure/store/place.hpp"

namespace throughcure::store {

/// A file that a backup lacks, for its bytes could not be had when it was made.
struct LostFile {
  std::string sha256;        ///< of the bytes that it had, hexadecimal
  bool changed = false;      ///< there were other bytes in its place; else it was gone
  std::string name;          ///< private: as it was sent; of a file that kept cases name, its path
  std::string belongs_to{};  ///< the kind of the record that it is attached to; empty for one that kept cases name
  std::int64_t record = 0;
  std::string about{};
  friend bool operator==(const LostFile&, const LostFile&) = default;
};

/// "the approval of light 2 is gone". Without its name, which is private.
std::string told(const LostFile& file);

/// What a backup holds, as its manifest says.
struct BackupAbout {
  base::Instant made_at{};
  int version = 0;  ///< of the tables
  std::int64_t tables = 0;
  std::int64_t rows = 0;
  std::uint64_t changes = 0;  ///< in the audit log
  std::string root;           ///< of its tree, hexadecimal
  std::vector<LostFile> lost{};
  std::int64_t folder_files = 0;        ///< of the data folder
  std::vector<std::string> left_out{};  ///< of the data folder: "lights/lamp-2: it is a link"
  AgainstLog against_log{};             ///< of its records; not of a backup of a newer program
};

/// Copies the records of one moment, and the practice's own files of the data folder, into a new file, synced and only
/// then put under its name. Without a name for it, that folder is the one of the records' file; of a server none is
/// known. A file that is gone or rotten is left out and named in the manifest; records that are not what their log says
/// go in as they are, and are told. Throws base::InputError when there are no records, or the file is there already;
/// nothing is left over then.
BackupAbout back_up(const Place& records, const std::filesystem::path& file, base::Instant now,
                    const std::optional<std::filesystem::path>& data_folder = std::nullopt);

/// Looks through a backup without changing it: the database's own check, each table against the manifest, every leaf of
/// the audit log against its change, the root, and each attached file that it does not lack against its hash. Throws
/// base::InputError with the first thing that is wrong. Its records are held against its log too: that they are not
/// what it says is told, for the backup is then as good as what was backed up.
BackupAbout look_through(const std::filesystem::path& file);

/// What its manifest says that it lacks, believed as it stands.
std::vector<LostFile> lost_in(const std::filesystem::path& backup);

/// Those of these files that cannot be had at the place now either.
std::vector<LostFile> still_lost(const Place& records, const std::vector<LostFile>& files);

/// Looks through it, then makes the records at a place that has none, and lays the practice's own files out in the data
/// folder, which is known as for back_up. All or nothing, but for files that the backup lacks: their records are there
/// without them, until the same file is attached again. Throws base::InputError when there are records already,
/// attached files beside where they are to be, other files where the practice's own are to be, or the backup is of a
/// newer program.
BackupAbout restore(const std::filesystem::path& file, const Place& records,
                    const std::optional<std::filesystem::path>& data_folder = std::nullopt);

}  // namespace throughcure::store
