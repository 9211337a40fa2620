#include "throughcure/service/data_folder.hpp"

#include <array>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "service/scratch_folder.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"

namespace throughcure::service {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

constexpr std::array<base::EmbeddedFile, 1> kDemo{{{"lights/one.toml", "name = \"one\"\n", {}, "00"}}};

class DataFolder : public testing::Test {
 protected:
  [[nodiscard]] static std::string refusal_of(const fs::path& folder, FolderKind kind) {
    try {
      open_data_folder(folder, kind, kDemo);
    } catch (const base::InputError& error) {
      return error.what();
    }
    return "opened";
  }

  tests::ScratchFolder scratch_;
  fs::path folder_ = scratch_.path();
};

TEST_F(DataFolder, ADemoIsMadeAndOpenedAgain) {
  const fs::path demo = folder_ / "a" / "demo";
  open_data_folder(demo, FolderKind::demo, kDemo);
  EXPECT_EQ(base::read_file(demo / "lights" / "one.toml"), "name = \"one\"\n");
  base::write_file(demo / "lights" / "one.toml", "changed");
  open_data_folder(demo, FolderKind::demo, kDemo);
  EXPECT_EQ(base::read_file(demo / "lights" / "one.toml"), "changed") << "what somebody changed stays";
}

TEST_F(DataFolder, APracticeStartsEmpty) {
  open_data_folder(folder_, FolderKind::practice, kDemo);
  EXPECT_FALSE(fs::exists(folder_ / "lights"));
  EXPECT_EQ(refusal_of(folder_, FolderKind::practice), "opened");
}

TEST_F(DataFolder, NeitherBecomesTheOther) {
  open_data_folder(folder_ / "demo", FolderKind::demo, kDemo);
  open_data_folder(folder_ / "practice", FolderKind::practice, kDemo);
  EXPECT_THAT(refusal_of(folder_ / "demo", FolderKind::practice), HasSubstr("Open it with --demo"));
  EXPECT_THAT(refusal_of(folder_ / "practice", FolderKind::demo), HasSubstr("Open it without --demo"));
  EXPECT_FALSE(fs::exists(folder_ / "practice" / "lights")) << "nothing was written";
}

TEST_F(DataFolder, SomebodyElsesFolderIsRefused) {
  base::write_file(folder_ / "letter.txt", "dear");
  EXPECT_THAT(refusal_of(folder_, FolderKind::demo), HasSubstr("not throughcure's"));
  EXPECT_FALSE(fs::exists(folder_ / "lights"));
  EXPECT_THAT(refusal_of(folder_ / "letter.txt", FolderKind::demo), HasSubstr("this is a file"));
}

TEST_F(DataFolder, AnUnknownMarkerIsRefused) {
  base::write_file(folder_ / "throughcure-folder.txt", "museum\n");
  EXPECT_THAT(refusal_of(folder_, FolderKind::practice), HasSubstr("museum"));
}

}  // namespace
}  // namespace throughcure::service
