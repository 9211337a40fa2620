// Where the bytes of attached files, and of files that kept cases name, lie: beside an SQLite database in the folder
// "files", on a server in the table file_part, so that one database holds all of a practice.
#pragma once

#include <filesystem>
#include <optional>
#include <set>
#include <string>
#include <string_view>

#include "throughcure/practice/digest.hpp"
#include "throughcure/store/file_folder.hpp"
#include "throughcure/store/session.hpp"

namespace throughcure::store {

class FileStore {
 public:
  /// As the session's place has it.
  explicit FileStore(Session& session);
  /// In the session's own table whatever its place: a backup is one file.
  static FileStore in_table(Session& session);

  /// Inside a write transaction. The same bytes are kept once; bytes that are no longer those of the hash are mended.
  void keep(const practice::Digest& hash, std::string_view bytes) const;
  /// Throws LostBytes where they are gone or no longer those of the hash.
  [[nodiscard]] std::string read(const practice::Digest& hash) const;
  /// Removes what no record names, and says how many files that were; inside a write transaction.
  [[nodiscard]] std::size_t sweep() const;

 private:
  FileStore(Session& session, std::optional<FileFolder> folder);
  Session* session_;
  std::optional<FileFolder> folder_;
};

/// The folder of the files beside a database's file.
std::filesystem::path files_beside(const std::filesystem::path& database);

/// New records must not take over (and sweep) files that others left beside their database. Throws base::Failure.
void must_have_no_files(const Session& session);

/// Hashes, hexadecimal, that any revision of an attachment or of a kept file names.
std::set<std::string> named_files(Session& session);

}  // namespace throughcure::store
