// The practice's own files beside its records, as a backup holds them: cases, lights with their spectra and the
// pictures of their beams, materials. Records name them by their paths from the data folder.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/store/copy.hpp"
#include "throughcure/store/session.hpp"

namespace throughcure::store {

/// One of them in a backup.
struct FolderFile {
  std::string path;       ///< from the data folder: "lights/lamp-2.toml"
  std::string sha256;     ///< of its bytes, hexadecimal; empty where it was left out
  std::int64_t size = 0;  ///< [bytes]
  std::string left_out;   ///< why it is not in the backup; empty where it is
};

/// Whether a path is one of those: a case (.toml) in the data folder itself, or anything below lights, materials,
/// spectra, beams or cases. Whatever else it may be, it leads out of the folder or to what the program keeps there for
/// itself.
bool is_own_path(const std::string& path);

/// Makes the table of them in a backup, and puts every file of the folder in, inside a write transaction. Links, files
/// of more than 64 MiB and what cannot be read are left out and told. None without a folder.
void put_in_folder(Session& backup, const std::optional<std::filesystem::path>& folder);

/// The table of them in a backup, and whether it is there: earlier programs made none.
CopiedTable folder_table();
bool has_folder_table(Session& backup);

/// Those of a backup; none where it is of an earlier program.
std::vector<FolderFile> folder_files(Session& backup);

/// Throws base::Failure where a file has other bytes than were put in, or a path that leads elsewhere.
void check_folder(Session& backup);

/// Files of a backup laid out in a data folder. Gone at the end unless they are kept.
class LaidOutFolder {
 public:
  explicit LaidOutFolder(std::filesystem::path folder) : folder_(std::move(folder)) {}
  ~LaidOutFolder();
  LaidOutFolder(const LaidOutFolder&) = delete;
  LaidOutFolder& operator=(const LaidOutFolder&) = delete;

  /// Never writes over a file, nor through a link. Throws base::InputError where there is another file of the name
  /// already, base::Failure where one cannot be written, or a path leads out of the folder.
  void lay_out(Session& backup);
  void keep() { made_.clear(); }

 private:
  void make_folders(const std::filesystem::path& inside);
  std::filesystem::path folder_;
  std::vector<std::filesystem::path> made_;  ///< files and folders, each after what it lies in
};

}  // namespace throughcure::store
