#include "throughcure/store/file_folder.hpp"

#include <cerrno>
#include <system_error>

#include <fcntl.h>
#include <unistd.h>

#include "throughcure/base/hex.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/practice/kept_file.hpp"

namespace throughcure::store {

namespace {

namespace fs = std::filesystem;

constexpr std::size_t kFolderDigits = 2;  // of the hash, in each of two levels
constexpr std::size_t kHashDigits = 64;
constexpr std::size_t kMostBytes = practice::kMostKeptBytes;  // more than an attached file may have
constexpr const char* kRemedy = ". Free some space on the disk, and give the program the right to write there.";

[[noreturn]] void fail(const char* what, const fs::path& path, const std::error_code& error) {
  throw base::Failure(std::string(what) + ' ' + path.string() + ": " + error.message() + kRemedy);
}

void sync_folder(const fs::path& folder) {
  const int f = ::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  const bool synced = f >= 0 && ::fsync(f) == 0;
  const int error = errno;
  if (f >= 0) ::close(f);
  if (!synced) fail("cannot sync", folder, std::error_code(error, std::generic_category()));
}

/// Makes the folder; its name is on the disk when it returns.
void make_folder(const fs::path& folder) {
  std::error_code error;
  fs::create_directory(folder, error);
  if (error) fail("cannot make", folder, error);
  sync_folder(folder.parent_path());
}

/// Whether the bytes of the hash are there already, whole.
bool is_whole(const fs::path& path, const practice::Digest& hash) {
  std::error_code error;
  if (!fs::exists(path, error)) return false;
  try {
    return practice::sha256({base::read_file(path, kMostBytes)}) == hash;
  } catch (const base::InputError&) {
    return false;  // too long, or not to be read: it is written again
  }
}

/// What `wanted` says of every file below the folder; none where there is no folder.
template <class Wanted>
std::set<fs::path> files_in(const fs::path& folder, const Wanted& wanted) {
  std::set<fs::path> found;
  std::error_code error;
  fs::recursive_directory_iterator at(folder, error);
  if (error == std::errc::no_such_file_or_directory) return found;
  for (; !error && at != fs::recursive_directory_iterator(); at.increment(error)) {
    std::error_code unknown;
    if (at->is_regular_file(unknown) && wanted(at->path())) found.insert(at->path());
  }
  if (error) fail("cannot look into", folder, error);
  return found;
}

}  // namespace

std::filesystem::path FileFolder::path_of(const std::string& hash) const {
  return folder_ / hash.substr(0, kFolderDigits) / hash.substr(kFolderDigits, kFolderDigits) / hash;
}

/// A file of a hash, or one half written that was to become it. Somebody else's files are never touched.
bool FileFolder::is_ours(const std::filesystem::path& file) const {
  const std::string hash = file.filename().string().substr(0, kHashDigits);
  return hash.size() == kHashDigits && hash.find_first_not_of("0123456789abcdef") == std::string::npos &&
         file.parent_path() == path_of(hash).parent_path();
}

bool FileFolder::is_empty() const {
  return files_in(folder_, [&](const fs::path& file) { return is_ours(file); }).empty();
}

void FileFolder::keep(const practice::Digest& hash, std::string_view bytes) const {
  const std::filesystem::path path = path_of(base::hex(hash));
  const std::filesystem::path folder = path.parent_path();
  for (const auto& made : {folder_, folder.parent_path(), folder}) make_folder(made);
  // A file of a writer that was killed may be there without its name being on the disk, or be half of it.
  if (!is_whole(path, hash)) {
    try {
      base::write_file(path, bytes);
    } catch (const base::Failure& e) {
      throw base::Failure(std::string(e.what()) + kRemedy);
    }
  }
  sync_folder(folder);
}

std::string FileFolder::read(const practice::Digest& hash) const {
  const std::filesystem::path path = path_of(base::hex(hash));
  std::string bytes;
  try {
    bytes = base::read_file(path, kMostBytes);
  } catch (const base::InputError& e) {
    throw LostBytes("an attached file cannot be read: " + std::string(e.what()) +
                        " Attach the same file again, or restore a backup.",
                    false);
  }
  if (practice::sha256({bytes}) != hash) {
    throw LostBytes("the attached file " + path.string() +
                        " is no longer what was attached: its bytes have changed. Attach the same file again, or "
                        "restore a backup.",
                    true);
  }
  return bytes;
}

std::size_t FileFolder::sweep(const std::set<std::string>& named) const {
  const auto orphans = files_in(
      folder_, [&](const fs::path& file) { return is_ours(file) && !named.contains(file.filename().string()); });
  for (const fs::path& orphan : orphans) {
    std::error_code error;
    fs::remove(orphan, error);
    if (error) fail("cannot remove", orphan, error);
  }
  return orphans.size();
}

}  // namespace throughcure::store
