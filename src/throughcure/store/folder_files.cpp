#include "throughcure/store/folder_files.hpp"

#include <algorithm>
#include <array>
#include <system_error>
#include <utility>

#include "throughcure/base/hex.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/base/utf8.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/practice/digest.hpp"
#include "throughcure/practice/kept_file.hpp"
#include "throughcure/store/file_store.hpp"

namespace throughcure::store {

namespace {

namespace fs = std::filesystem;
using base::ValueType;

constexpr std::array<std::string_view, 5> kFolders = {"beams", "cases", "lights", "materials", "spectra"};
constexpr std::string_view kCaseEnding = ".toml";
constexpr const char* kTable = "backup_folder";
constexpr const char* kRemedy = ". Free some space on the disk, and give the program the right to write there.";

bool is_own_folder(std::string_view name) { return std::ranges::find(kFolders, name) != kFolders.end(); }

/// What lies in the folder, as it is put into a backup.
class Taken {
 public:
  Taken(Session& backup, fs::path folder) : backup_(&backup), folder_(std::move(folder)) {}

  void all() {
    std::error_code error;
    std::vector<fs::path> top;
    fs::directory_iterator at(folder_, error);
    for (; !error && at != fs::directory_iterator(); at.increment(error)) top.push_back(at->path());
    if (error) throw base::Failure("cannot look into " + folder_.string() + ": " + error.message());
    std::ranges::sort(top);
    for (const fs::path& path : top) {
      const bool is_case = path.extension() == kCaseEnding;
      if (is_case || is_own_folder(path.filename().string())) take(path);
    }
  }

 private:
  void take(const fs::path& path) {
    std::error_code error;
    const fs::file_status status = fs::symlink_status(path, error);
    if (fs::is_directory(status)) return take_below(path);
    if (fs::is_symlink(status)) return leave_out(path, "it is a link");
    if (!fs::is_regular_file(status)) return leave_out(path, "it is no file");
    const std::string name = name_of(path);
    if (!is_own_path(name)) return leave_out(path, "its name cannot be kept");
    std::string bytes;
    try {
      bytes = base::read_file(path, practice::kMostKeptBytes);
    } catch (const base::InputError& e) {
      return leave_out(path, e.problems().at(0).what);
    }
    const practice::Digest hash = practice::sha256({bytes});
    FileStore::in_table(*backup_).keep(hash, bytes);
    add({.path = name, .sha256 = base::hex(hash), .size = static_cast<std::int64_t>(bytes.size()), .left_out = {}});
  }

  void take_below(const fs::path& folder) {
    std::error_code error;
    std::vector<fs::path> inside;
    fs::directory_iterator at(folder, error);
    for (; !error && at != fs::directory_iterator(); at.increment(error)) inside.push_back(at->path());
    if (error) return leave_out(folder, error.message());
    std::ranges::sort(inside);
    for (const fs::path& path : inside) take(path);
  }

  [[nodiscard]] std::string name_of(const fs::path& path) const {
    return path.lexically_relative(folder_).generic_string();
  }

  void leave_out(const fs::path& path, const std::string& why) {
    std::string name = name_of(path);
    if (!base::is_utf8(name)) {
      std::ranges::replace_if(name, [](char c) { return static_cast<unsigned char>(c) > 0x7f; }, '?');
    }
    add({.path = name, .sha256 = {}, .left_out = why});
  }

  void add(const FolderFile& file) {
    backup_->insert(kTable, folder_table().columns, {file.path, file.sha256, file.size, file.left_out});
  }

  Session* backup_;
  fs::path folder_;
};

practice::Digest hash_called(const std::string& name) {
  const auto hash = base::from_hex<std::tuple_size_v<practice::Digest>>(name);
  if (!hash) throw base::Failure("a file of the data folder is under no hash: " + name);
  return *hash;
}

/// The bytes as they were put in.
std::string bytes_of(Session& backup, const FolderFile& file) {
  if (!is_own_path(file.path)) {
    throw base::Failure("the path \"" + file.path + "\" is none of a practice's own files, which lie in its folder");
  }
  std::string bytes = FileStore::in_table(backup).read(hash_called(file.sha256));
  if (static_cast<std::int64_t>(bytes.size()) != file.size) {
    throw base::Failure("the file " + file.path + " has another length than was put in");
  }
  return bytes;
}

}  // namespace

bool is_own_path(const std::string& path) {
  if (path.empty() || path.find('\0') != std::string::npos || !base::is_utf8(path)) return false;
  const fs::path parts(path);
  if (parts.is_absolute() || parts.lexically_normal().generic_string() != path) return false;
  if (std::ranges::any_of(parts, [](const fs::path& part) { return part == ".." || part == "." || part.empty(); })) {
    return false;
  }
  if (!parts.has_parent_path()) return parts.extension() == kCaseEnding;
  return is_own_folder(parts.begin()->string());
}

CopiedTable folder_table() {
  return {.name = kTable,
          .columns = {"path", "sha256", "size", "left_out"},
          .types = {ValueType::kText, ValueType::kText, ValueType::kWhole, ValueType::kText}};
}

void put_in_folder(Session& backup, const std::optional<fs::path>& folder) {
  backup.run(
      "CREATE TABLE backup_folder (path TEXT NOT NULL, sha256 TEXT NOT NULL, size INTEGER NOT NULL, left_out TEXT NOT "
      "NULL) STRICT");
  if (folder) Taken(backup, folder->empty() ? fs::path(".") : *folder).all();
}

bool has_folder_table(Session& backup) {
  const Values known =
      backup.ask_one("SELECT count(*) FROM sqlite_master WHERE name = 'backup_folder'", {}, {ValueType::kWhole});
  return std::get<std::int64_t>(known.at(0)) > 0;
}

std::vector<FolderFile> folder_files(Session& backup) {
  std::vector<FolderFile> files;
  if (!has_folder_table(backup)) return files;
  backup.each("SELECT path, sha256, size, left_out FROM backup_folder ORDER BY rowid", {}, folder_table().types,
              [&](const Values& row) {
                files.push_back({.path = std::get<std::string>(row[0]),
                                 .sha256 = std::get<std::string>(row[1]),
                                 .size = std::get<std::int64_t>(row[2]),
                                 .left_out = std::get<std::string>(row[3])});
              });
  return files;
}

void check_folder(Session& backup) {
  for (const FolderFile& file : folder_files(backup)) {
    if (file.left_out.empty()) (void)bytes_of(backup, file);
  }
}

LaidOutFolder::~LaidOutFolder() {
  std::error_code ignored;
  // What was put into a folder goes before it does.
  for (auto path = made_.rbegin(); path != made_.rend(); ++path) fs::remove(*path, ignored);
}

void LaidOutFolder::make_folders(const fs::path& inside) {
  fs::path folder = folder_;
  for (const fs::path& part : inside) {
    folder /= part;
    std::error_code error;
    const fs::file_status status = fs::symlink_status(folder, error);
    if (fs::is_directory(status)) continue;
    if (fs::exists(status)) {
      throw base::InputError({{folder.string(),
                               0,
                               0,
                               {},
                               "it is in the way of a folder of the backup",
                               "Restore to a folder that has none of these files"}});
    }
    fs::create_directory(folder, error);
    if (error) throw base::Failure("cannot make " + folder.string() + ": " + error.message() + kRemedy);
    made_.push_back(folder);
  }
}

void LaidOutFolder::lay_out(Session& backup) {
  for (const FolderFile& file : folder_files(backup)) {
    if (!file.left_out.empty()) continue;
    const std::string bytes = bytes_of(backup, file);
    const fs::path path = folder_ / file.path;
    make_folders(fs::path(file.path).parent_path());
    std::error_code error;
    const fs::file_status status = fs::symlink_status(path, error);
    if (fs::exists(status)) {
      if (fs::is_regular_file(status) && fs::file_size(path, error) == bytes.size() && base::read_file(path) == bytes) {
        continue;
      }
      throw base::InputError({{path.string(),
                               0,
                               0,
                               {},
                               "there is another file of this name already",
                               "Restore to a folder that has none of these files"}});
    }
    try {
      base::write_file(path, bytes);
    } catch (const base::Failure& e) {
      throw base::Failure(std::string(e.what()) + kRemedy);
    }
    made_.push_back(path);
  }
}

}  // namespace throughcure::store
