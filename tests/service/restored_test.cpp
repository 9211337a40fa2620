// A practice that was served, backed up and restored into a folder of its own is served on from there.
#include <csignal>
#include <memory>
#include <regex>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "service/client.hpp"
#include "throughcure/base/write_file.hpp"

namespace throughcure::tests {
namespace {

namespace fs = std::filesystem;

constexpr const char* kPassword = "a long enough one";
constexpr const char* kPaper = "%PDF-1.7 of the contract";

std::string first_match(const std::string& text, const std::string& pattern) {
  std::smatch match;
  return std::regex_search(text, match, std::regex(pattern)) ? match[1].str() : "";
}

/// A practice as one browser has it.
class Served {
 public:
  explicit Served(const fs::path& folder)
      : program_(std::vector<std::string>{"--port", "0", "--data", folder.string()}) {
    const std::string first = program_.line();
    code_ = first_match(first, "with the code ([0-9a-f]+) at");
    const std::string page = code_.empty() ? first : program_.line();
    const std::string port = first_match(page, "The page is at: http://127\\.0\\.0\\.1:([0-9]+)/");
    if (port.empty()) {
      ADD_FAILURE() << "it does not serve: " << first << program_.said();
      return;
    }
    port_ = static_cast<std::uint16_t>(std::stoul(port));
  }

  void begin() {
    adopt(post("/api/door/begin", R"({"code":")" + code_ +
                                      R"(","name":"Marta Vint","sign_in_name":"marta","password":")" + kPassword +
                                      R"(","site":{"name":"Harbour street","time_zone":"Europe/Lisbon"}})"));
  }
  void sign_in() {
    adopt(post("/api/door/sign-in", std::string(R"({"sign_in_name":"marta","password":")") + kPassword + "\"}"));
  }
  [[nodiscard]] Answer get(const std::string& target) const { return ask(port_, "GET", target, {cookie_}); }
  [[nodiscard]] Answer post(const std::string& target, const std::string& body) const {
    std::vector<std::string> lines{"Origin: http://127.0.0.1:" + std::to_string(port_), "x-file-name: contract.pdf"};
    if (!cookie_.empty()) lines.insert(lines.end(), {cookie_, "x-throughcure-token: " + token_});
    return ask(port_, "POST", target, lines, body);
  }
  int stop() { return program_.stop(SIGTERM); }

 private:
  void adopt(Answer answer) {
    EXPECT_LT(answer.status, 300) << answer.body;
    const std::string set = answer.headers["set-cookie"];
    cookie_ = "Cookie: " + set.substr(0, set.find(';'));
    token_ = first_match(answer.body, "\"page_token\":\"([0-9a-f]+)\"");
  }
  Program program_;
  std::uint16_t port_ = 0;
  std::string code_;
  std::string cookie_;
  std::string token_;
};

TEST(Restored, IsServedOnFromAFolderThatWasNotThere) {
  const ScratchFolder scratch;
  const fs::path before = scratch.path() / "practice";
  const fs::path after = scratch.path() / "again" / "practice";
  const std::string backup = (scratch.path() / "one.backup").string();
  {
    Served practice(before);
    practice.begin();
    ASSERT_EQ(practice.post("/api/attachments?belongs_to=site&record=1&about=other", kPaper).status, 201);
    ASSERT_EQ(Program({backup, "--data", before.string()}, "backup").wait(), 0) << "while it is in use";
    ASSERT_EQ(practice.stop(), 0);
  }
  Program restore({backup, "--data", after.string()}, "restore");
  ASSERT_EQ(restore.wait(), 0) << restore.said();
  EXPECT_EQ(fs::status(after).permissions(), fs::perms::owner_all);
  Served practice(after);
  practice.sign_in();
  EXPECT_EQ(practice.get("/api/attachments/1").body, kPaper);
  EXPECT_EQ(practice.stop(), 0);
}

TEST(Restored, NothingIsMadeOfABackupThatIsNone) {
  const ScratchFolder scratch;
  const fs::path after = scratch.path() / "practice";
  base::write_file(scratch.path() / "text.backup", "no database");
  Program restore({(scratch.path() / "text.backup").string(), "--data", after.string()}, "restore");
  EXPECT_EQ(restore.wait(), 2);
  EXPECT_FALSE(fs::exists(after));
}

}  // namespace
}  // namespace throughcure::tests
