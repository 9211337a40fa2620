// What the folder of attached files owes. No outside source: this is our own contract, but for SHA-256 of "abc"
// (FIPS 180-2, B.1).
#include "throughcure/store/file_folder.hpp"

#include <cstdlib>
#include <fstream>
#include <functional>
#include <stdexcept>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/base/problem.hpp"
#include "throughcure/practice/file_signature.hpp"

namespace throughcure::tests {
namespace {

const char* const kHashOfAbc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

class FileFolderContract : public testing::Test {
 protected:
  FileFolderContract() {
    std::string name = (std::filesystem::temp_directory_path() / "throughcure_folder_XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no folder for the test");
    ground_ = name;
    files_ = store::FileFolder(ground_ / "files");
  }
  ~FileFolderContract() override {
    std::error_code ignored;
    std::filesystem::remove_all(ground_, ignored);
  }
  [[nodiscard]] std::filesystem::path file_of_abc() const { return ground_ / "files" / "ba" / "78" / kHashOfAbc; }
  std::filesystem::path ground_;
  store::FileFolder files_{{}};
  practice::Digest abc_ = practice::sha256({"abc"});
};

TEST_F(FileFolderContract, GivesBackWhatItKeptUnderItsHash) {
  files_.keep(abc_, "abc");
  EXPECT_TRUE(std::filesystem::is_regular_file(file_of_abc()));
  EXPECT_EQ(files_.read(abc_), "abc");
}

TEST_F(FileFolderContract, TheLargestFileComesBack) {
  const std::string largest(practice::kMostAttachedBytes, '\x80');
  const practice::Digest hash = practice::sha256({largest});
  files_.keep(hash, largest);
  EXPECT_TRUE(files_.read(hash) == largest);
}

TEST_F(FileFolderContract, TheSameBytesAreNotWrittenAgain) {
  files_.keep(abc_, "abc");
  const std::filesystem::file_time_type long_ago{};
  std::filesystem::last_write_time(file_of_abc(), long_ago);
  files_.keep(abc_, "abc");
  EXPECT_EQ(std::filesystem::last_write_time(file_of_abc()), long_ago);
}

TEST_F(FileFolderContract, AHalfOrRottenFileIsMendedByTheSameBytes) {
  for (const char* left : {"ab", "abd", "abcd", ""}) {
    files_.keep(abc_, "abc");
    std::ofstream(file_of_abc()) << left;
    files_.keep(abc_, "abc");
    EXPECT_EQ(files_.read(abc_), "abc") << left;
  }
}

TEST_F(FileFolderContract, NeverTouchesFilesThatAreNotItsOwn) {
  EXPECT_TRUE(files_.is_empty());
  files_.keep(abc_, "abc");
  EXPECT_FALSE(files_.is_empty());
  const std::filesystem::path letter = ground_ / "files" / "letter.txt";
  const std::filesystem::path copy = ground_ / "files" / kHashOfAbc;
  std::ofstream(letter) << "dear";
  std::ofstream(copy) << "abc";
  EXPECT_EQ(files_.sweep({}), 1U);
  EXPECT_TRUE(std::filesystem::exists(letter));
  EXPECT_TRUE(std::filesystem::exists(copy));
  EXPECT_TRUE(files_.is_empty());
}

TEST_F(FileFolderContract, WhatTheDiskRefusesIsToldWithWhatToDo) {
  std::ofstream(ground_ / "files") << "a file where the folder should be";
  for (const auto& work : {std::function<void()>([&] { files_.keep(abc_, "abc"); }),
                           std::function<void()>([&] { (void)files_.sweep({}); })}) {
    try {
      work();
      FAIL() << "nothing was said";
    } catch (const base::Failure& e) {
      EXPECT_THAT(e.what(), testing::HasSubstr("give the program the right"));
    }
  }
}

TEST_F(FileFolderContract, AFlippedByteAndALostFileAreSaid) {
  files_.keep(abc_, "abc");
  std::ofstream(file_of_abc()) << "abb";
  try {
    (void)files_.read(abc_);
    FAIL() << "a rotten file was given out";
  } catch (const base::Failure& e) {
    EXPECT_THAT(e.what(), testing::HasSubstr("its bytes have changed"));
  }
  std::filesystem::remove(file_of_abc());
  EXPECT_THROW((void)files_.read(abc_), base::Failure);
}

TEST_F(FileFolderContract, SweepsWhatIsNotNamedAndHalfWrittenFilesOnly) {
  EXPECT_EQ(files_.sweep({}), 0U) << "a folder that was never made";
  const practice::Digest other = practice::sha256({"other"});
  files_.keep(abc_, "abc");
  files_.keep(other, "other");
  std::ofstream(file_of_abc().string() + ".4711") << "ab";
  EXPECT_EQ(files_.sweep({kHashOfAbc}), 2U);
  EXPECT_EQ(files_.read(abc_), "abc");
  EXPECT_THROW((void)files_.read(other), base::Failure);
  EXPECT_EQ(files_.sweep({kHashOfAbc}), 0U);
}

}  // namespace
}  // namespace throughcure::tests
