// The running program over real sockets: signing in, what it refuses, and how it stops.
#include <chrono>
#include <csignal>
#include <memory>
#include <regex>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "service/client.hpp"
#include "throughcure/base/write_file.hpp"

namespace throughcure::tests {
namespace {

using namespace std::chrono_literals;
using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

class Serve : public testing::Test {
 protected:
  void SetUp() override {
    program_ = std::make_unique<Program>(
        std::vector<std::string>{"--demo", "--port", "0", "--data", (folder_.path() / "demo").string()});
    const std::string first = program_->line();
    const std::string second = program_->line();
    std::smatch match;
    ASSERT_TRUE(std::regex_search(first, match, std::regex("http://127\\.0\\.0\\.1:([0-9]+)(/sign-in/[0-9a-f]{32})$")))
        << first << program_->said();
    port_ = static_cast<std::uint16_t>(std::stoul(match[1]));
    link_ = match[2];
    EXPECT_THAT(second, HasSubstr("http://127.0.0.1:" + std::to_string(port_) + "/"));
    EXPECT_THAT(second, Not(HasSubstr("sign-in")));
  }

  std::string cookie() {
    const std::string set = ask(port_, "GET", link_).headers["set-cookie"];
    return "Cookie: " + set.substr(0, set.find(';'));
  }

  ScratchFolder folder_;
  std::unique_ptr<Program> program_;
  std::uint16_t port_ = 0;
  std::string link_;
};

TEST_F(Serve, SignsInByTheLinkOnce) {
  EXPECT_EQ(ask(port_, "GET", "/").status, 200) << "the page, which asks to sign in";
  EXPECT_EQ(ask(port_, "GET", "/api/session").status, 401);
  const std::string signed_in = cookie();
  const Answer session = ask(port_, "GET", "/api/session", {signed_in});
  EXPECT_EQ(session.status, 200);
  EXPECT_THAT(session.body, HasSubstr("\"demo\":true"));
  EXPECT_EQ(ask(port_, "GET", "/", {signed_in}).status, 200);
  const Answer again = ask(port_, "GET", link_);
  EXPECT_EQ(again.status, 403);
  EXPECT_EQ(again.headers.count("set-cookie"), 0U);
}

TEST_F(Serve, TheDemoLightIsReadAndAFaultyOneSaysWhy) {
  const std::string signed_in = cookie();
  EXPECT_EQ(ask(port_, "GET", "/api/lights").status, 401);
  base::write_file(folder_.path() / "demo" / "lights" / "old.toml", "[light]\ntip_diameter_mm = -8\n");
  const Answer list = ask(port_, "GET", "/api/lights", {signed_in});
  EXPECT_EQ(list.status, 200);
  EXPECT_THAT(list.body, HasSubstr(R"("id":"demo-light")"));
  EXPECT_THAT(list.body, HasSubstr("\"old.toml:2:19: light.tip_diameter_mm: -8 mm is below the least allowed, 1 mm"));
  EXPECT_THAT(list.body, Not(HasSubstr(folder_.path().string())));
  const Answer light = ask(port_, "GET", "/api/lights/demo-light", {signed_in});
  EXPECT_EQ(light.status, 200);
  EXPECT_THAT(light.body, HasSubstr(R"("tip_diameter_mm":8.0)"));
  EXPECT_EQ(ask(port_, "GET", "/api/lights/no-such", {signed_in}).status, 404);
  EXPECT_EQ(ask(port_, "GET", "/api/lights/old", {signed_in}).status, 422);
}

TEST_F(Serve, EveryAnswerCarriesTheGuards) {
  for (const char* target : {"/", "/api/session", "/plain.css", "/sign-in/x", "/..", "/no-such"}) {
    Answer answer = ask(port_, "GET", target);
    EXPECT_THAT(answer.headers["content-security-policy"], HasSubstr("frame-ancestors 'none'")) << target;
    EXPECT_EQ(answer.headers["x-content-type-options"], "nosniff");
    EXPECT_EQ(answer.headers["referrer-policy"], "no-referrer");
    EXPECT_EQ(answer.headers["cache-control"], target == std::string("/") ? "no-cache" : "no-store") << target;
  }
}

TEST_F(Serve, RefusesAnotherHost) {
  const std::string signed_in = cookie();
  EXPECT_EQ(ask(port_, "GET", "/api/session", {signed_in, "Host: attacker.example"}).status, 421);
  EXPECT_EQ(ask(port_, "GET", "/api/session", {signed_in, "Host: localhost:" + std::to_string(port_)}).status, 421);
  Wire wire(port_);
  wire.send("GET / HTTP/1.0\r\n\r\n");
  EXPECT_EQ(wire.receive().status, 421);
}

TEST_F(Serve, NobodyClimbsOutOfTheFolder) {
  const std::string signed_in = cookie();
  for (const char* target : {"/../../etc/passwd", "/%2e%2e/%2e%2e/etc/passwd", "/assets/..%2f..%2fetc/passwd",
                             "/assets/%00", "//etc/passwd", "/api/../x"}) {
    const Answer answer = ask(port_, "GET", target, {signed_in});
    EXPECT_EQ(answer.status, 400) << target;
    EXPECT_THAT(answer.body, Not(HasSubstr("root:")));
  }
}

TEST_F(Serve, LimitsHeaderAndBody) {
  EXPECT_EQ(ask(port_, "GET", "/", {"X-Long: " + std::string(20'000, 'x')}).status, 431);
  const std::string large(std::size_t{2} << 20, 'x');
  EXPECT_EQ(ask(port_, "POST", "/api/session", {}, large).status, 413);
  Wire chunked(port_);
  chunked.send("POST /api/session HTTP/1.1\r\nHost: 127.0.0.1\r\nTransfer-Encoding: chunked\r\n\r\n200000\r\n" + large);
  EXPECT_EQ(chunked.receive().status, 413) << "a body without a stated length is counted as it comes";
  Wire nonsense(port_);
  nonsense.send("hello there\r\n\r\n");
  EXPECT_EQ(nonsense.receive().status, 400);
  EXPECT_EQ(ask(port_, "GET", "/plain.css").status, 200) << "others are served all the same";
}

TEST_F(Serve, AFileGoesInAndComesBackAndOnlyThereMayABodyBeLarge) {
  const std::string signed_in = cookie();
  const std::string session = ask(port_, "GET", "/api/session", {signed_in}).body;
  std::smatch token;
  ASSERT_TRUE(std::regex_search(session, token, std::regex("\"page_token\":\"([0-9a-f]+)\"")));
  std::string paper = "%PDF-1.7\n";
  paper.resize(std::size_t{3} << 20, '\x80');
  const std::vector<std::string> from_page = {signed_in, "x-throughcure-token: " + token[1].str(),
                                              "Origin: http://127.0.0.1:" + std::to_string(port_),
                                              "x-file-name: a.pdf"};
  const std::string target = "/api/attachments?belongs_to=site&record=1&about=other";
  const Answer in = ask(port_, "POST", target, from_page, paper);
  ASSERT_EQ(in.status, 201) << in.body;
  EXPECT_TRUE(ask(port_, "GET", "/api/attachments/1", {signed_in}).body == paper);
  EXPECT_EQ(ask(port_, "POST", target, {signed_in}, paper).status, 413) << "not from our page";
  EXPECT_EQ(ask(port_, "POST", target, {}, paper).status, 413) << "signed in as nobody";
  EXPECT_EQ(ask(port_, "POST", "/api/records/room", from_page, paper).status, 413);
}

TEST_F(Serve, SlowClientsHoldNobodyUp) {
  std::vector<std::unique_ptr<Wire>> slow;
  for (int i = 0; i < 32; ++i) {
    slow.push_back(std::make_unique<Wire>(port_));
    slow.back()->send("GET / HTTP/1.1\r\nHost:");
  }
  const auto start = std::chrono::steady_clock::now();
  EXPECT_EQ(ask(port_, "GET", "/plain.css").status, 200);
  EXPECT_LT(std::chrono::steady_clock::now() - start, 2s);
}

TEST_F(Serve, ToldWhenThereAreTooMany) {
  std::vector<std::unique_ptr<Wire>> open;
  open.reserve(64);
  for (int i = 0; i < 64; ++i) open.push_back(std::make_unique<Wire>(port_));
  // The server has taken all of them once the last one is answered.
  open.back()->send("GET /plain.css HTTP/1.1\r\nHost: 127.0.0.1:" + std::to_string(port_) + "\r\n\r\n");
  ASSERT_EQ(open.back()->receive().status, 200);
  EXPECT_EQ(Wire(port_).receive().status, 503);
  open.clear();
  int status = 0;
  for (int i = 0; i < 100 && status != 200; ++i) {
    status = ask(port_, "GET", "/plain.css").status;
    if (status != 200) ::usleep(20'000);
  }
  EXPECT_EQ(status, 200) << "and served again once they have gone";
}

TEST_F(Serve, OneConnectionCarriesManyRequests) {
  Wire wire(port_);
  const std::string request = "GET /plain.css HTTP/1.1\r\nHost: 127.0.0.1:" + std::to_string(port_) + "\r\n\r\n";
  wire.send(request + request);
  EXPECT_EQ(wire.receive().status, 200);
  EXPECT_EQ(wire.receive().status, 200);
  wire.send("HEAD" + request.substr(3));
  Answer head = wire.receive(true);
  EXPECT_EQ(head.status, 200);
  EXPECT_NE(head.headers["content-length"], "0");
  wire.send(request);
  EXPECT_EQ(wire.receive().status, 200) << "HEAD had no body";
}

TEST_F(Serve, ASignalEndsItWell) {
  const Wire idle(port_);
  const auto start = std::chrono::steady_clock::now();
  EXPECT_EQ(program_->stop(SIGTERM), 0);
  EXPECT_LT(std::chrono::steady_clock::now() - start, 2s);
  EXPECT_TRUE(idle.closes_within(1s));
  EXPECT_EQ(program_->said(), "");
}

TEST_F(Serve, InterruptIsItsNormalEnd) { EXPECT_EQ(program_->stop(SIGINT), 0); }

TEST_F(Serve, ATakenPortIsSaid) {
  Program second({"--demo", "--data", (folder_.path() / "other").string(), "--port", std::to_string(port_)});
  EXPECT_EQ(second.wait(), 3);
  EXPECT_THAT(second.said(), HasSubstr("--port 0"));
}

TEST_F(Serve, ASecondProgramIsRefusedAtTheSameFolder) {
  const std::vector<std::string> same{"--demo", "--port", "0", "--data", (folder_.path() / "demo").string()};
  {
    Program second(same);
    EXPECT_EQ(second.wait(), 3);
    EXPECT_THAT(second.said(), HasSubstr("already. Use that one, or stop it first."));
  }
  EXPECT_EQ(ask(port_, "GET", "/").status, 200) << "the first serves on";
  program_->stop(SIGTERM);
  Program next(same);
  EXPECT_THAT(next.line(), HasSubstr("/sign-in/"));
  EXPECT_EQ(next.stop(SIGTERM), 0);
}

TEST_F(Serve, ADemoFolderIsNoPractice) {
  program_->stop(SIGTERM);
  Program practice({"--port", "0", "--data", (folder_.path() / "demo").string()});
  EXPECT_EQ(practice.wait(), 2);
  EXPECT_THAT(practice.said(), HasSubstr("Open it with --demo"));
}

/// What a practice's program says until it serves.
std::string said_at_start(Program& program) {
  std::string all;
  for (std::string line = program.line(); !line.empty(); line = program.line()) {
    all += line + "\n";
    if (line.starts_with("The page is at: ")) break;
  }
  return all;
}

TEST(CutOff, IsToldByTheNextStartWhichHasLookedAfterTheRecords) {
  const ScratchFolder folder;
  const std::vector<std::string> practice{"--port", "0", "--data", (folder.path() / "practice").string()};
  const std::string told = "The program ended without being stopped last time; the records are whole: ";
  {
    Program program(practice);
    EXPECT_THAT(said_at_start(program), AllOf(HasSubstr("The page is at: "), Not(HasSubstr(told))));
    program.stop(SIGKILL);
  }
  {
    Program program(practice);
    EXPECT_THAT(said_at_start(program), AllOf(HasSubstr("The page is at: "), HasSubstr(told)));
    EXPECT_EQ(program.stop(SIGTERM), 0);
    EXPECT_EQ(program.said(), "");
  }
  Program program(practice);
  EXPECT_THAT(said_at_start(program), AllOf(HasSubstr("The page is at: "), Not(HasSubstr(told))));
  EXPECT_EQ(program.stop(SIGTERM), 0);
}

TEST(CutOff, IsToldAlsoAfterAStartThatFailedInBetween) {
  const ScratchFolder folder;
  const std::filesystem::path data = folder.path() / "practice";
  const std::vector<std::string> practice{"--port", "0", "--data", data.string()};
  {
    Program program(practice);
    EXPECT_THAT(said_at_start(program), HasSubstr("The page is at: "));
    program.stop(SIGKILL);
  }
  {
    std::vector<std::string> elsewhere = practice;
    elsewhere.insert(elsewhere.end(), {"--server", "host=" + folder.path().string() + " dbname=none"});
    Program failed(elsewhere);
    EXPECT_EQ(failed.wait(), 3) << failed.said();
  }
  Program program(practice);
  EXPECT_THAT(said_at_start(program), HasSubstr("The program ended without being stopped last time; "));
  EXPECT_EQ(program.stop(SIGTERM), 0);
}

TEST(ServeOptions, AreChecked) {
  const ScratchFolder folder;
  Program port({"--port", "70000", "--data", folder.path().string()});
  EXPECT_EQ(port.wait(), 2);
  Program web({"--web", folder.path().string(), "--port", "0", "--data", (folder.path() / "d").string()});
  EXPECT_EQ(web.wait(), 2);
  EXPECT_THAT(web.said(), HasSubstr("no index.html"));
}

}  // namespace
}  // namespace throughcure::tests
