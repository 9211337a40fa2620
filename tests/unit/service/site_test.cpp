#include "throughcure/service/site.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <stdexcept>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/service/guard.hpp"

namespace throughcure::service {
namespace {

using testing::HasSubstr;
using testing::Not;

constexpr std::array<base::EmbeddedFile, 2> kPage{
    {{"assets/a.js", "let a = 1;", "GZIP", "aa11"}, {"index.html", "<html>page</html>", {}, "bb22"}}};

std::string header_of(const Response& response, std::string_view name) {
  const auto at = std::find_if(response.headers.begin(), response.headers.end(),
                               [name](const Header& header) { return header.name == name; });
  return at == response.headers.end() ? "" : at->value;
}

class SiteTest : public testing::Test {
 protected:
  SiteTest() {
    settings_.reach.port = 8420;
    settings_.version = "1.2.3";
    settings_.web = base::EmbeddedFiles(kPage);
    settings_.now = [this] { return now_; };
    settings_.log = [this](std::string_view what) { logged_ = what; };
  }

  [[nodiscard]] Site site() {
    return Site(
        settings_, sessions_,
        {{Method::post, "/api/change", Access::signed_in, "",
          at_once([](const Call&) { return Response{204, {}, {}}; })},
         {Method::post, "/api/open", Access::open, "", at_once([](const Call&) { return Response{204, {}, {}}; })},
         {Method::get, "/api/broken", Access::signed_in, "",
          [](const Call&, const Reply&) { throw std::runtime_error("secret path"); }}});
  }

  Response ask(Method method, std::string target, std::vector<Header> headers = {}) {
    if (std::none_of(headers.begin(), headers.end(), [](const Header& h) { return h.name == "host"; })) {
      headers.push_back({"host", "127.0.0.1:8420"});
    }
    if (!cookie_.empty()) headers.push_back({"cookie", cookie_});
    std::optional<Response> answer;
    site().answer({method, std::move(target), std::move(headers), ""}, [&](Response r) { answer = std::move(r); });
    return answer.value();
  }

  void sign_in() {
    const Response answer =
        ask(Method::get,
            "/sign-in/" + sessions_.invite(practice::Member{.account = {1}, .person = {1}, .name = "Ana"}, now_));
    ASSERT_EQ(answer.status, 200);
    const std::string set = header_of(answer, "set-cookie");
    cookie_ = set.substr(0, set.find(';'));
  }

  Instant now_ = Instant{} + std::chrono::hours(1);
  Sessions sessions_;
  SiteSettings settings_;
  std::string cookie_;
  std::string logged_;
};

TEST_F(SiteTest, WithoutASessionThereIsThePageAndNothingElse) {
  for (const char* path : {"/", "/lights", "/sign-in", "/begin", "/join"}) {
    EXPECT_EQ(ask(Method::get, path).body, "<html>page</html>") << path << ": the page asks to sign in";
  }
  const Response api = ask(Method::get, "/api/no-such-thing");
  EXPECT_EQ(api.status, 401);
  EXPECT_EQ(header_of(api, "content-type"), "application/json");
  EXPECT_EQ(ask(Method::get, "/api/session").status, 401);
  EXPECT_EQ(ask(Method::get, "/plain.css").status, 200) << "the plain pages need their style";
}

TEST_F(SiteTest, ALinkSignsInOnce) {
  const std::string path =
      "/sign-in/" + sessions_.invite(practice::Member{.account = {1}, .person = {1}, .name = "Ana"}, now_);
  EXPECT_EQ(ask(Method::head, path).status, 401) << "looking at it does not use it up";
  EXPECT_EQ(ask(Method::get, path, {{"sec-purpose", "prefetch;prerender"}}).status, 503);
  const Response first = ask(Method::get, path);
  EXPECT_EQ(first.status, 200);
  EXPECT_THAT(header_of(first, "set-cookie"), HasSubstr("HttpOnly; SameSite=Strict"));
  const Response second = ask(Method::get, path);
  EXPECT_EQ(second.status, 403);
  EXPECT_EQ(header_of(second, "set-cookie"), "");
  EXPECT_THAT(second.body, HasSubstr("throughcure serve"));
}

TEST_F(SiteTest, SignedInThePageIsThere) {
  sign_in();
  EXPECT_EQ(ask(Method::get, "/").body, "<html>page</html>");
  EXPECT_EQ(ask(Method::get, "/lights/any").body, "<html>page</html>") << "the page itself knows its addresses";
  EXPECT_EQ(ask(Method::get, "/elsewhere").status, 404);
  EXPECT_EQ(ask(Method::get, "/api/elsewhere").status, 404);
  EXPECT_EQ(ask(Method::get, "/../secret").status, 400);
  EXPECT_EQ(ask(Method::get, "/api/session").status, 200);
  now_ += std::chrono::hours(13);
  EXPECT_EQ(ask(Method::get, "/api/session").status, 401);
}

TEST_F(SiteTest, FilesCarryTagsAndAreCompressed) {
  sign_in();
  const Response plain = ask(Method::get, "/assets/a.js");
  EXPECT_EQ(plain.body, "let a = 1;");
  EXPECT_THAT(header_of(plain, "cache-control"), HasSubstr("immutable"));
  const Response packed = ask(Method::get, "/assets/a.js", {{"accept-encoding", "br, gzip"}});
  EXPECT_EQ(packed.body, "GZIP");
  EXPECT_EQ(header_of(packed, "content-encoding"), "gzip");
  EXPECT_NE(header_of(packed, "etag"), header_of(plain, "etag"));
  EXPECT_EQ(ask(Method::get, "/assets/a.js", {{"if-none-match", header_of(plain, "etag")}}).status, 304);
  EXPECT_EQ(ask(Method::get, "/assets/a.js", {{"accept-encoding", "gzip;q=0"}}).body, "let a = 1;");
  EXPECT_EQ(header_of(ask(Method::get, "/"), "cache-control"), "no-cache");
}

TEST_F(SiteTest, WrongHostGetsNothing) {
  sign_in();
  const Response answer = ask(Method::get, "/api/session", {{"host", "attacker.example:8420"}});
  EXPECT_EQ(answer.status, 421);
  EXPECT_THAT(answer.body, HasSubstr("http://127.0.0.1:8420/"));
}

TEST_F(SiteTest, AChangeNeedsOriginAndToken) {
  const Header own{"origin", "http://127.0.0.1:8420"};
  EXPECT_EQ(ask(Method::post, "/api/change", {own}).status, 401);
  EXPECT_EQ(ask(Method::post, "/api/open").status, 403) << "no other page signs anybody in";
  EXPECT_EQ(ask(Method::post, "/api/open", {own}).status, 204);
  EXPECT_EQ(ask(Method::post, "/api/open", {own, {"sec-fetch-site", "cross-site"}}).status, 403);
  sign_in();
  EXPECT_EQ(ask(Method::post, "/api/change").status, 403);
  const std::string body = ask(Method::get, "/api/session").body;
  const std::size_t at = body.find("\"page_token\":\"") + 14;
  const Header token{std::string(kPageTokenHeader), body.substr(at, 32)};
  EXPECT_EQ(ask(Method::post, "/api/change", {token}).status, 403);
  const Header ours{"origin", "http://127.0.0.1:8420"};
  EXPECT_EQ(ask(Method::post, "/api/change", {ours}).status, 403);
  EXPECT_EQ(ask(Method::post, "/api/change", {ours, token}).status, 204);
  EXPECT_EQ(ask(Method::put, "/api/change", {ours, token}).status, 405);
  EXPECT_EQ(header_of(ask(Method::put, "/api/change", {ours, token}), "allow"), "POST");
}

TEST_F(SiteTest, ADemoSaysSoOnEveryPage) {
  EXPECT_THAT(ask(Method::get, "/elsewhere").body, Not(HasSubstr("demo")));
  settings_.demo = true;
  EXPECT_THAT(ask(Method::get, "/sign-in/x").body, HasSubstr("This is a demo"));
  sign_in();
  EXPECT_THAT(ask(Method::get, "/elsewhere").body, HasSubstr("This is a demo"));
  EXPECT_THAT(ask(Method::get, "/api/session").body, HasSubstr("\"demo\":true"));
}

TEST_F(SiteTest, WithoutABundleAPlainPageSaysSo) {
  settings_.web = base::EmbeddedFiles{};
  sign_in();
  const Response answer = ask(Method::get, "/");
  EXPECT_EQ(answer.status, 200);
  EXPECT_THAT(answer.body, HasSubstr("THROUGHCURE_WEB"));
}

TEST_F(SiteTest, AFaultInsideTellsTheLogAndNotTheClient) {
  sign_in();
  const Response answer = ask(Method::get, "/api/broken");
  EXPECT_EQ(answer.status, 500);
  EXPECT_THAT(answer.body, Not(HasSubstr("secret")));
  EXPECT_EQ(logged_, "secret path");
}

}  // namespace
}  // namespace throughcure::service
