#include "throughcure/service/assets.hpp"

#include <fstream>

#include <gtest/gtest.h>

#include "service/scratch_folder.hpp"

namespace throughcure::service {
namespace {

namespace fs = std::filesystem;

class Folder : public testing::Test {
 protected:
  Folder() {
    fs::create_directories(folder_.path() / "web" / "assets");
    std::ofstream(folder_.path() / "web" / "index.html") << "page";
    std::ofstream(folder_.path() / "web" / "assets" / "a.js") << "let a;";
    std::ofstream(folder_.path() / "secret") << "secret";
    fs::create_symlink(folder_.path() / "secret", folder_.path() / "web" / "link.txt");
    fs::create_directory_symlink(folder_.path(), folder_.path() / "web" / "up");
  }
  [[nodiscard]] std::optional<Response> get(std::string_view path) const {
    return asset_response(folder_.path() / "web", path, Request{});
  }
  tests::ScratchFolder folder_;
};

TEST_F(Folder, ServesItsFilesAsTheyAreNow) {
  ASSERT_TRUE(get("index.html"));
  EXPECT_EQ(get("index.html")->body, "page");
  EXPECT_EQ(get("assets/a.js")->body, "let a;");
  std::ofstream(folder_.path() / "web" / "index.html") << "new page";
  EXPECT_EQ(get("index.html")->body, "new page");
}

TEST_F(Folder, ServesNothingElse) {
  EXPECT_FALSE(get(""));
  EXPECT_FALSE(get("assets")) << "a folder is no file";
  EXPECT_FALSE(get("missing.js"));
  EXPECT_FALSE(get("../secret"));
  EXPECT_FALSE(get("/etc/passwd"));
  EXPECT_FALSE(get("link.txt")) << "a link that leads out of the folder";
  EXPECT_FALSE(get("up/secret"));
}

TEST(MediaType, IsThatOfThePagesOwnFiles) {
  EXPECT_EQ(media_type("assets/index.js"), "text/javascript; charset=utf-8");
  EXPECT_EQ(media_type("mark.svg"), "image/svg+xml");
  EXPECT_EQ(media_type("thing.exe"), "application/octet-stream");
}

TEST(TakesGzip, ReadsTheHeader) {
  EXPECT_TRUE(takes_gzip("gzip"));
  EXPECT_TRUE(takes_gzip("br, gzip;q=0.5"));
  EXPECT_FALSE(takes_gzip("gzip;q=0"));
  EXPECT_FALSE(takes_gzip("gzip;q=0.0, br"));
  EXPECT_FALSE(takes_gzip(""));
}

}  // namespace
}  // namespace throughcure::service
