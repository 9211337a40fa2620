#include "throughcure/service/running_mark.hpp"

#include <cerrno>
#include <string_view>
#include <system_error>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

namespace throughcure::service {

namespace {

constexpr std::string_view kText =
    "This file is here while throughcure serves from this folder. Where it is here and the program does not run, the "
    "program was cut off; the next start looks after it.\n";

}  // namespace

RunningMark::RunningMark(const std::filesystem::path& data_folder) : path_(data_folder / "running.txt") {
  std::error_code error;
  const bool was_there = std::filesystem::exists(path_, error);
  const int opened = ::open(path_.c_str(), O_RDWR | O_CREAT | O_NOFOLLOW | O_CLOEXEC, S_IRUSR | S_IWUSR);
  if (opened < 0) return;
  file_ = opened;
  // The system takes the lock from whoever ends, however that is.
  if (::flock(file_, LOCK_EX | LOCK_NB) != 0) {
    is_anothers_ = errno == EWOULDBLOCK;
    ::close(file_);
    file_ = -1;
    return;
  }
  was_left_ = was_there;
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
  ::unlink(path_.c_str());
  ::close(file_);
}

}  // namespace throughcure::service
