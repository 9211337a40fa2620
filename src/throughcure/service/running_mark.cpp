#include "throughcure/service/running_mark.hpp"

#include <cerrno>
#include <string_view>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

namespace throughcure::service {

namespace {

constexpr std::string_view kText =
    "This file is here while throughcure serves from this folder. Where it is here and the program does not run, the "
    "program was cut off; the next start looks after it.\n";

/// Whether the file still has this name: whoever had it before may have taken it away.
bool is_called(int file, const std::filesystem::path& path) {
  struct stat own{};
  struct stat named{};
  return ::fstat(file, &own) == 0 && ::lstat(path.c_str(), &named) == 0 && own.st_dev == named.st_dev &&
         own.st_ino == named.st_ino;
}

struct Locked {
  int file = -1;             ///< none where it cannot be had
  bool is_anothers = false;  ///< for another program has it
};

/// The system takes the lock from whoever ends, however that is.
Locked locked(const std::filesystem::path& path) {
  constexpr int most_tries = 100;  // one for each program that ends in this very moment
  for (int tries = 0; tries < most_tries; ++tries) {
    // NOLINTNEXTLINE(*-vararg): the system's own
    const int file = ::open(path.c_str(), O_RDWR | O_CREAT | O_NOFOLLOW | O_CLOEXEC, S_IRUSR | S_IWUSR);
    if (file < 0) return {};
    if (::flock(file, LOCK_EX | LOCK_NB) != 0) {
      const bool is_anothers = errno == EWOULDBLOCK;
      ::close(file);
      return {.is_anothers = is_anothers};
    }
    if (is_called(file, path)) return {.file = file};
    ::close(file);
  }
  return {};
}

bool is_written(int file) {
  struct stat about{};
  return ::fstat(file, &about) == 0 && about.st_size > 0;
}

}  // namespace

RunningMark::RunningMark(const std::filesystem::path& data_folder) : path_(data_folder / "running.txt") {
  const Locked mine = locked(path_);
  is_anothers_ = mine.is_anothers;
  file_ = mine.file;
  if (file_ < 0) return;
  // Not of a program that made it and was quicker to be cut off than to write it.
  was_left_ = is_written(file_);
  if (::pwrite(file_, kText.data(), kText.size(), 0) < 0) return;
  // On the disk, with its name, for when the power fails.
  ::fsync(file_);
  const int folder = ::open(data_folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (folder < 0) return;
  ::fsync(folder);
  ::close(folder);
}

RunningMark::~RunningMark() {
  if (file_ < 0) return;
  if (!was_left_) ::unlink(path_.c_str());
  ::close(file_);
}

}  // namespace throughcure::service
