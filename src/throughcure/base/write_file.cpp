#include "throughcure/base/write_file.hpp"

#include <cerrno>
#include <fstream>
#include <iterator>
#include <random>
#include <string>
#include <system_error>

#include <fcntl.h>
#include <unistd.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::base {

namespace {

constexpr int kMostAttempts = 100;  // at a name that nobody has taken

/// The rights of any new file: the process's mask is for the system to apply, not for us to touch.
constexpr mode_t kAnyFile = 0666;
constexpr mode_t kOwnersFile = 0600;

std::string reason(int error) { return std::error_code(error, std::generic_category()).message(); }

/// An open file that is removed again unless it was kept.
class Scratch {
 public:
  Scratch(const std::filesystem::path& target, mode_t mode) {
    std::random_device random;
    for (int attempt = 0; attempt < kMostAttempts; ++attempt) {
      name_ = target.string() + '.' + std::to_string(random());
      file_ = ::open(name_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode);
      if (file_ >= 0) return;
      if (errno != EEXIST) break;
    }
    throw Failure("cannot write " + target.string() + ": " + reason(errno));
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  ~Scratch() {
    ::close(file_);
    if (!kept_) ::unlink(name_.c_str());
  }
  void write(std::string_view bytes) const {
    while (!bytes.empty()) {
      const ssize_t n = ::write(file_, bytes.data(), bytes.size());
      if (n < 0 && errno == EINTR) continue;
      if (n < 0) throw Failure("cannot write " + name_ + ": " + reason(errno));
      bytes.remove_prefix(static_cast<std::size_t>(n));
    }
    if (::fsync(file_) != 0) throw Failure("cannot sync " + name_ + ": " + reason(errno));
  }
  void become(const std::filesystem::path& target) {
    if (::rename(name_.c_str(), target.c_str()) != 0) {
      throw Failure("cannot write " + target.string() + ": " + reason(errno));
    }
    kept_ = true;
  }

 private:
  std::string name_;
  int file_ = -1;
  bool kept_ = false;
};

/// Makes the rename itself survive a power cut.
void sync_folder(const std::filesystem::path& folder) {
  const int f = ::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (f < 0) return;
  ::fsync(f);
  ::close(f);
}

void write(const std::filesystem::path& path, std::string_view bytes, mode_t mode) {
  Scratch scratch(path, mode);
  scratch.write(bytes);
  scratch.become(path);
  sync_folder(path.parent_path());
}

}  // namespace

void write_file(const std::filesystem::path& path, std::string_view bytes) { write(path, bytes, kAnyFile); }

void write_private_file(const std::filesystem::path& path, std::string_view bytes) { write(path, bytes, kOwnersFile); }

void write_file(const std::filesystem::path& path, std::span<const std::byte> bytes) {
  write_file(path, std::string_view(reinterpret_cast<const char*>(bytes.data()), bytes.size()));
}

std::string read_file(const std::filesystem::path& path, std::size_t most_bytes) {
  std::error_code error;
  const auto kind = std::filesystem::status(path, error);
  if (error || !std::filesystem::is_regular_file(kind)) {
    throw InputError({{path.string(), 0, 0, "", "there is no such file",
                       "Check the name; paths in a file are relative to that file"}});
  }
  const auto size = std::filesystem::file_size(path, error);
  if (!error && size > most_bytes) {
    throw InputError(
        {{path.string(), 0, 0, "",
          std::to_string(size) + " bytes is more than the " + std::to_string(most_bytes) + " that are read",
          "Give a smaller file"}});
  }
  std::ifstream in(path, std::ios::binary);
  if (!in) throw InputError({{path.string(), 0, 0, "", "it cannot be opened", "Check who may read it"}});
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace throughcure::base
