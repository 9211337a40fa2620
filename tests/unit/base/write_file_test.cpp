// Files are replaced whole, with the rights of any new file, and nothing of the process is touched for it.
#include "throughcure/base/write_file.hpp"

#include <atomic>
#include <filesystem>
#include <iterator>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

#include "throughcure/base/problem.hpp"

namespace {

std::atomic<int> masks_set = 0;

}  // namespace

/// Stands before the system's, to count: a mask that is changed is changed for all threads of the process.
extern "C" mode_t umask(mode_t mask) noexcept {
  ++masks_set;
  return static_cast<mode_t>(::syscall(SYS_umask, mask));
}

namespace throughcure::base {
namespace {

namespace fs = std::filesystem;

class WriteFile : public testing::Test {
 protected:
  WriteFile() { fs::create_directory(folder_); }
  ~WriteFile() override { fs::remove_all(folder_); }

  [[nodiscard]] auto files() const { return std::distance(fs::directory_iterator(folder_), {}); }

  fs::path folder_ = fs::temp_directory_path() / ("throughcure_write_test_" + std::to_string(::getpid()));
};

TEST_F(WriteFile, ReplacesWholeAndLeavesNothingBesideIt) {
  write_file(folder_ / "a.txt", std::string_view("one"));
  write_file(folder_ / "a.txt", std::string_view("two"));
  EXPECT_EQ(read_file(folder_ / "a.txt"), "two");
  EXPECT_THROW(write_file(folder_ / "no" / "such" / "a.txt", std::string_view("x")), Failure);
  EXPECT_EQ(files(), 1);
  EXPECT_THROW((void)read_file(folder_ / "missing"), InputError);
  EXPECT_THROW((void)read_file(folder_ / "a.txt", 2), InputError);
}

TEST_F(WriteFile, LeavesNothingWhereItCannotReplace) {
  fs::create_directory(folder_ / "taken");
  EXPECT_THROW(write_file(folder_ / "taken", std::string_view("x")), Failure);
  EXPECT_EQ(files(), 1);
}

TEST_F(WriteFile, ASecretIsItsOwnersAlone) {
  write_file(folder_ / "key", std::string_view("for everybody"));
  write_private_file(folder_ / "key", "for its owner");
  EXPECT_EQ(read_file(folder_ / "key"), "for its owner");
  EXPECT_EQ(fs::status(folder_ / "key").permissions(), fs::perms::owner_read | fs::perms::owner_write);
}

TEST_F(WriteFile, GivesTheRightsOfAnyNewFileWithoutTouchingTheMask) {
  const mode_t before = ::umask(0);
  for (const mode_t mask : {mode_t{022}, mode_t{027}, mode_t{077}, mode_t{0}}) {
    ::umask(mask);
    masks_set = 0;
    write_file(folder_ / "a.txt", std::string_view("x"));
    EXPECT_EQ(masks_set, 0);
    struct stat found{};
    ASSERT_EQ(::stat((folder_ / "a.txt").c_str(), &found), 0);
    EXPECT_EQ(found.st_mode & mode_t{0777}, mode_t{0666} & ~mask);
  }
  ::umask(before);
}

TEST_F(WriteFile, SeveralWritersOfOneFileLeaveItWhole) {
  constexpr int kWriters = 4;
  {
    std::vector<std::jthread> writers;
    writers.reserve(kWriters);
    for (int writer = 0; writer < kWriters; ++writer) {
      writers.emplace_back([this, writer] {
        const std::string text(20'000, static_cast<char>('a' + writer));
        for (int turn = 0; turn < 10; ++turn) write_file(folder_ / "a.txt", text);
      });
    }
  }
  const std::string left = read_file(folder_ / "a.txt");
  EXPECT_EQ(left, std::string(20'000, left.at(0)));
  EXPECT_EQ(files(), 1);
}

}  // namespace
}  // namespace throughcure::base
