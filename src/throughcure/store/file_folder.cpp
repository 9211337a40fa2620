#include "throughcure/store/file_folder.hpp"

#include <cerrno>
#include <system_error>

#include <fcntl.h>
#include <unistd.h>

#include "throughcure/base/hex.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/practice/file_signature.hpp"

namespace throughcure::store {

namespace {

constexpr std::size_t kFolderDigits = 2;  // of the hash, in each of two levels

void sync_folder(const std::filesystem::path& folder) {
  const int f = ::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  const bool synced = f >= 0 && ::fsync(f) == 0;
  const int error = errno;
  if (f >= 0) ::close(f);
  if (!synced) {
    throw base::Failure("cannot sync " + folder.string() + ": " +
                        std::error_code(error, std::generic_category()).message());
  }
}

/// Makes the folder; its name is on the disk when it returns.
void make_folder(const std::filesystem::path& folder) {
  std::error_code error;
  std::filesystem::create_directory(folder, error);
  if (error) throw base::Failure("cannot make " + folder.string() + ": " + error.message());
  sync_folder(folder.parent_path());
}

}  // namespace

std::filesystem::path FileFolder::path_of(const std::string& hash) const {
  return folder_ / hash.substr(0, kFolderDigits) / hash.substr(kFolderDigits, kFolderDigits) / hash;
}

void FileFolder::keep(const practice::Digest& hash, std::string_view bytes) const {
  const std::filesystem::path path = path_of(base::hex(hash));
  const std::filesystem::path folder = path.parent_path();
  for (const auto& made : {folder_, folder.parent_path(), folder}) make_folder(made);
  // A file of a writer that was killed may be there without its name being on the disk.
  if (!std::filesystem::exists(path)) base::write_file(path, bytes);
  sync_folder(folder);
}

std::string FileFolder::read(const practice::Digest& hash) const {
  const std::filesystem::path path = path_of(base::hex(hash));
  std::string bytes;
  try {
    bytes = base::read_file(path, practice::kMostAttachedBytes);
  } catch (const base::InputError& e) {
    throw base::Failure("an attached file cannot be read: " + std::string(e.what()));
  }
  if (practice::sha256({bytes}) != hash) {
    throw base::Failure("the attached file " + path.string() +
                        " is no longer what was attached: its bytes have changed. Restore it from a backup.");
  }
  return bytes;
}

std::size_t FileFolder::sweep(const std::set<std::string>& named) const {
  if (!std::filesystem::exists(folder_)) return 0;
  std::set<std::filesystem::path> orphans;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(folder_)) {
    if (!entry.is_regular_file()) continue;
    const std::string name = entry.path().filename().string();
    if (named.contains(name) && entry.path() == path_of(name)) continue;
    orphans.insert(entry.path());
  }
  for (const auto& orphan : orphans) {
    std::error_code error;
    std::filesystem::remove(orphan, error);
    if (error) throw base::Failure("cannot remove " + orphan.string() + ": " + error.message());
  }
  return orphans.size();
}

}  // namespace throughcure::store
