// Attached files over HTTP. Our own contract, but for the file name in the header: RFC 5987, 3.2.
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/practice/file_signature.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using service::Header;
using service::Method;
using testing::ElementsAre;

const std::string kPaper = "%PDF-1.7\n\x80\xff<script>";
constexpr const char* kToLight = "/api/attachments?belongs_to=light&record=1&about=approval";

class AttachmentRoutes : public testing::Test {
 protected:
  AttachmentRoutes() : lead_(office_.begin()) {
    other_site_ = add("site", {{"name", "Hill road"}, {"time_zone", "Europe/Lisbon"}});
    const std::int64_t room = add("room", {{"site", 1}, {"name", "Room 1"}});
    add("light", {{"room", room}, {"name", "Lamp"}, {"serial", "K-1"}});
  }
  std::int64_t add(const std::string& kind, const nlohmann::json& record) {
    const Told told = office_.post(lead_, "/api/records/" + kind, record);
    EXPECT_EQ(told.status, 201) << kind << told.body.dump();
    return told.body.value("id", std::int64_t{0});
  }
  Told attach(const Browser& browser, const std::string& target, const std::string& bytes,
              const std::string& name = "scan.pdf", const std::vector<Header>& more = {}) {
    std::vector<Header> headers = more;
    headers.push_back({"x-file-name", name});
    return office_.ask(browser, Method::post, target, bytes, headers);
  }
  Told file(const Browser& browser, std::int64_t id) {
    return office_.get(browser, "/api/attachments/" + std::to_string(id));
  }

  Office office_;
  Browser lead_;
  std::int64_t other_site_ = 0;
};

TEST_F(AttachmentRoutes, GivesBackTheBytesAsADownloadThatNothingRuns) {
  const Told in = attach(lead_, kToLight, kPaper, "pr%C3%BCfung%20%22A%22%27.pdf", {{"content-type", "text/html"}});
  ASSERT_EQ(in.status, 201) << in.text;
  EXPECT_EQ(in.body["media"], "application/pdf");
  EXPECT_EQ(in.body["size"], kPaper.size());
  EXPECT_EQ(in.body["sha256"].get<std::string>().size(), 64U);
  const Told out = file(lead_, in.body["id"]);
  EXPECT_EQ(out.status, 200);
  EXPECT_TRUE(out.text == kPaper);
  EXPECT_THAT(out.all("content-type"), ElementsAre("application/pdf"));
  EXPECT_THAT(out.all("x-content-type-options"), ElementsAre("nosniff"));
  EXPECT_THAT(out.all("content-security-policy"), ElementsAre("sandbox; default-src 'none'"));
  EXPECT_THAT(out.all("content-disposition"),
              ElementsAre("attachment; filename*=UTF-8''pr%C3%BCfung%20%22A%22%27.pdf"));
  EXPECT_EQ(file(lead_, 77).status, 404);
}

TEST_F(AttachmentRoutes, RefusesWhatIsNoFileOrHasNoNameOrPlace) {
  EXPECT_EQ(attach(lead_, kToLight, "<html>").status, 422);
  EXPECT_EQ(attach(lead_, kToLight, "").status, 422);
  for (const char* name : {"", "%", "a%0ab.pdf", "..%2Fa.pdf", "a\\b.pdf", "%FF.pdf"}) {
    EXPECT_EQ(attach(lead_, kToLight, kPaper, name).status, 422) << name;
  }
  EXPECT_EQ(attach(lead_, kToLight, kPaper, std::string(201, 'a')).status, 422);
  const std::string at = "/api/attachments?";
  for (const char* query : {"", "belongs_to=light&record=1", "belongs_to=light&record=1&about=nonsense",
                            "belongs_to=secret&record=1&about=other", "belongs_to=light&record=x&about=other"}) {
    EXPECT_EQ(attach(lead_, at + query, kPaper).status, 422) << query;
  }
  EXPECT_EQ(attach(lead_, at + "belongs_to=light&record=9&about=other", kPaper).status, 404);
  EXPECT_EQ(attach(lead_, at + "belongs_to=account&record=1&about=other", kPaper).status, 404);
  EXPECT_EQ(office_.get(lead_, "/api/records/attachment").body["records"].size(), 0U);
}

TEST_F(AttachmentRoutes, OnlyForThoseWhoSeeTheRecord) {
  const Browser clinician = office_.join(lead_, "jon", "clinician");
  const Browser viewer = office_.join(lead_, "vera", "viewer");
  const Browser elsewhere = office_.join(lead_, "lia", "lead", other_site_);
  EXPECT_EQ(attach(viewer, kToLight, kPaper).status, 403);
  EXPECT_EQ(attach(elsewhere, kToLight, kPaper).status, 404);
  const Told in = attach(clinician, kToLight, kPaper);
  ASSERT_EQ(in.status, 201) << in.text;
  EXPECT_EQ(file(viewer, in.body["id"]).status, 200);
  EXPECT_EQ(file(elsewhere, in.body["id"]).status, 404);
  EXPECT_EQ(file({}, in.body["id"]).status, 401);
  // People are seen by a lead only: so is what is attached to them.
  const std::string to_person = "/api/attachments?belongs_to=person&record=1&about=certificate";
  EXPECT_EQ(attach(clinician, to_person, kPaper).status, 403);
  const Told private_one = attach(lead_, to_person, kPaper);
  ASSERT_EQ(private_one.status, 201) << private_one.text;
  EXPECT_EQ(file(clinician, private_one.body["id"]).status, 403);
  EXPECT_EQ(file(lead_, private_one.body["id"]).status, 200);
}

TEST_F(AttachmentRoutes, TheSameKeyAttachesOnce) {
  const std::vector<Header> key = {{"idempotency-key", "0123456789abcdef"}};
  const Told first = attach(lead_, kToLight, kPaper, "a.pdf", key);
  EXPECT_EQ(first.status, 201);
  EXPECT_EQ(attach(lead_, kToLight, kPaper, "a.pdf", key).body, first.body);
  EXPECT_EQ(office_.get(lead_, "/api/records/attachment").body["records"].size(), 1U);
  EXPECT_EQ(attach(lead_, kToLight, kPaper + "x", "a.pdf", key).status, 409);
}

TEST_F(AttachmentRoutes, ALargerBodyIsForThoseWhoMayAttach) {
  const Browser viewer = office_.join(lead_, "vera", "viewer");
  const auto most = [&](const Browser& browser, Method method, const std::string& target) {
    service::Request head{.method = method, .target = target, .headers = {}, .body = {}};
    head.headers = {{"host", "127.0.0.1:8420"},
                    {"origin", "http://127.0.0.1:8420"},
                    {"cookie", browser.cookie},
                    {std::string(service::kPageTokenHeader), browser.token}};
    return office_.site().most_body_bytes(head);
  };
  EXPECT_EQ(most(lead_, Method::post, kToLight), practice::kMostAttachedBytes);
  EXPECT_EQ(most(viewer, Method::post, kToLight), 0U);
  EXPECT_EQ(most({}, Method::post, kToLight), 0U);
  EXPECT_EQ(most({.cookie = lead_.cookie, .token = "forged", .ticket = {}, .session = {}}, Method::post, kToLight), 0U);
  EXPECT_EQ(most(lead_, Method::get, "/api/attachments/1"), 0U);
  EXPECT_EQ(most(lead_, Method::post, "/api/records/room"), 0U);
}

TEST_F(AttachmentRoutes, AFileThatIsGoneIsToldWithWhatToDo) {
  const Told in = attach(lead_, kToLight, kPaper);
  ASSERT_EQ(in.status, 201);
  const std::string hash = in.body["sha256"];
  std::filesystem::remove(office_.folder() / "files" / hash.substr(0, 2) / hash.substr(2, 2) / hash);
  const Told out = file(lead_, in.body["id"]);
  EXPECT_EQ(out.status, 503);
  EXPECT_THAT(out.text, testing::HasSubstr("Attach the same file again"));
}

}  // namespace
}  // namespace throughcure::tests
