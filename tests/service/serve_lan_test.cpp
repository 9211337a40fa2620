// The running program in its network: TLS always, known again by its fingerprint, and the same guards for every host.
#include <chrono>
#include <csignal>
#include <filesystem>
#include <memory>
#include <regex>
#include <string>
#include <vector>

#include <arpa/inet.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "service/client.hpp"
#include "support/tls_wire.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/service/certificate.hpp"
#include "throughcure/service/local_certificate.hpp"
#include "throughcure/service/machine_hosts.hpp"
#include "throughcure/service/sessions.hpp"

namespace throughcure::tests {
namespace {

using namespace std::chrono_literals;
using testing::AllOf;
using testing::EndsWith;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;

/// `throughcure serve --demo` on a free port with these options more, and what it said when it began.
class Running {
 public:
  Running(const std::filesystem::path& data, std::vector<std::string> options) {
    options.insert(options.end(), {"--demo", "--port", "0", "--data", data.string()});
    program_ = std::make_unique<Program>(options);
    lines_ = program_->line() + "\n" + program_->line() + "\n";
    std::smatch match;
    EXPECT_TRUE(std::regex_search(lines_, match, std::regex("at: (https?)://([a-z0-9.-]+):([0-9]+)/\n")))
        << lines_ << program_->said();
    if (match.empty()) return;
    host_ = match[2];
    port_ = static_cast<std::uint16_t>(std::stoul(match[3]));
    if (match[1] == "https") {
      while (lines_.find("fingerprint: ") == std::string::npos) lines_ += program_->line() + "\n";
    }
    std::regex_search(lines_, match, std::regex("/sign-in/[0-9a-f]{32}"));
    link_ = match[0];
    if (std::regex_search(lines_, match, std::regex("fingerprint: ([0-9A-F:]{95})"))) fingerprint_ = match[1];
  }

  [[nodiscard]] TlsAnswer ask(const std::string& method, const std::string& target, const std::string& host,
                              const std::vector<std::string>& header_lines = {}) const {
    TlsWire wire(port_);
    std::string request = method + " " + target + " HTTP/1.1\r\nHost: " + host + "\r\n";
    for (const std::string& line : header_lines) request += line + "\r\n";
    wire.send(request + "\r\n");
    return wire.receive();
  }
  [[nodiscard]] std::string at(const std::string& host) const { return host + ":" + std::to_string(port_); }

  std::unique_ptr<Program> program_;
  std::string lines_;
  std::string host_;
  std::uint16_t port_ = 0;
  std::string link_;
  std::string fingerprint_;
};

class ServeLan : public testing::Test {
 protected:
  // A client that writes to a connection that was closed on it must not end the test.
  ServeLan() { std::signal(SIGPIPE, SIG_IGN); }
  ScratchFolder folder_;
  std::filesystem::path data_ = folder_.path() / "demo";
};

TEST_F(ServeLan, ShowsTheCertificateWhoseFingerprintItSays) {
  const Running page(data_, {"--lan", "--address", "127.0.0.1"});
  EXPECT_EQ(TlsWire(page.port_).fingerprint(), page.fingerprint_);
  EXPECT_EQ(page.host_, "127.0.0.1");
  EXPECT_THAT(page.lines_, AllOf(HasSubstr("Also at: https://localhost:" + std::to_string(page.port_) + "/\n"),
                                 Not(HasSubstr("http://"))));
  EXPECT_THAT(page.program_->line(), HasSubstr("compare the fingerprint"));
  page.program_->stop(SIGTERM);
  const Running again(data_, {"--lan", "--address", "127.0.0.1"});
  EXPECT_EQ(again.fingerprint_, page.fingerprint_);
  EXPECT_THAT(again.program_->line(), HasSubstr("compare the fingerprint")) << "a kept certificate is as much its own";
}

TEST_F(ServeLan, SignsInWithACookieThatNeverGoesWithoutTls) {
  const Running page(data_, {"--lan", "--address", "127.0.0.1"});
  TlsAnswer link = page.ask("GET", page.link_, page.at("127.0.0.1"));
  EXPECT_EQ(link.status, 200);
  const std::string set = link.headers["set-cookie"];
  EXPECT_THAT(set, AllOf(StartsWith("__Host-throughcure_" + std::to_string(page.port_) + "="), EndsWith("; Secure"),
                         HasSubstr("; Path=/;"), Not(HasSubstr("Domain"))));
  const std::string cookie = "Cookie: " + set.substr(0, set.find(';'));
  EXPECT_EQ(page.ask("GET", "/api/session", page.at("localhost"), {cookie}).status, 200);
  EXPECT_EQ(page.ask("GET", "/api/session", page.at("localhost")).status, 401);
  EXPECT_FALSE(link.headers.contains("strict-transport-security"));
  EXPECT_THAT(link.headers["content-security-policy"], HasSubstr("default-src 'none'"));
}

TEST_F(ServeLan, AnswersAtItsOwnHostsOnly) {
  const Running page(data_, {"--lan"});
  const auto machine = service::machine_hosts();
  for (const std::string& host : service::hosts_of_listener("0.0.0.0", machine)) {
    EXPECT_EQ(page.ask("GET", "/plain.css", page.at(host)).status, 200) << host;
    EXPECT_THAT(page.lines_, HasSubstr("https://" + page.at(host) + "/"));
  }
  for (const std::string& other : {page.at("attacker.example"), page.at("desk.attacker.example"), page.at("0.0.0.0"),
                                   std::string("localhost"), std::string("127.0.0.1:1")}) {
    EXPECT_EQ(page.ask("GET", "/plain.css", other).status, 421) << other;
  }
}

TEST_F(ServeLan, ListensOnTheNetworkOnlyWhenItIsTold) {
  const auto addresses = service::machine_hosts().addresses;
  if (addresses.empty()) GTEST_SKIP() << "this machine has no address but the loopback";
  in_addr other{};
  ASSERT_EQ(::inet_pton(AF_INET, addresses.front().c_str(), &other), 1);
  const Running alone(data_, {});
  EXPECT_THROW(Socket(alone.port_, ntohl(other.s_addr)), std::runtime_error);
  const Running loopback(folder_.path() / "loopback", {"--lan", "--address", "127.0.0.1"});
  EXPECT_THROW(Socket(loopback.port_, ntohl(other.s_addr)), std::runtime_error);
  const Running lan(folder_.path() / "lan", {"--lan"});
  EXPECT_NO_THROW(Socket(lan.port_, ntohl(other.s_addr)));
  EXPECT_EQ(lan.host_, addresses.front());
}

TEST_F(ServeLan, PlainHttpIsToldOfHttpsAndClosed) {
  const Running page(data_, {"--lan", "--address", "127.0.0.1"});
  const Socket plain(page.port_);
  plain.send("GET " + page.link_ + " HTTP/1.1\r\nHost: " + page.at("127.0.0.1") + "\r\n\r\n");
  EXPECT_THAT(plain.last_words(2s).value_or("still open"), AllOf(HasSubstr(" 400 "), Not(HasSubstr("et-cookie"))));
  EXPECT_EQ(page.ask("GET", page.link_, page.at("127.0.0.1")).status, 200) << "and did not use the link up";
}

TEST_F(ServeLan, TakesACertificateThatIsGiven) {
  const auto given = service::make_local_certificate({"lights.practice.example"}, service::system_now());
  const std::string chain = (folder_.path() / "chain.pem").string();
  const std::string key = (folder_.path() / "key.pem").string();
  base::write_file(chain, given.certificate_pem);
  base::write_private_file(key, given.key_pem);
  const Running page(data_, {"--lan", "--address", "127.0.0.1", "--certificate", chain, "--key", key});
  EXPECT_EQ(page.host_, "lights.practice.example");
  EXPECT_EQ(page.fingerprint_, service::fingerprint_sha256(given.certificate_pem));
  EXPECT_EQ(TlsWire(page.port_).fingerprint(), page.fingerprint_);
  EXPECT_EQ(page.ask("GET", "/plain.css", page.at("lights.practice.example")).status, 200);
  EXPECT_FALSE(std::filesystem::exists(data_ / "local-key.pem"));
}

TEST_F(ServeLan, OptionsThatCannotBeAreRefused) {
  const auto said = [this](std::vector<std::string> options, int status) {
    options.insert(options.end(), {"--demo", "--port", "0", "--data", data_.string()});
    Program program(options);
    EXPECT_EQ(program.wait(), status);
    return program.said();
  };
  EXPECT_THAT(said({"--address", "127.0.0.1"}, 2), HasSubstr("--lan"));
  EXPECT_THAT(said({"--lan", "--certificate", "chain.pem"}, 2), HasSubstr("--key"));
  EXPECT_THAT(said({"--certificate", "chain.pem", "--key", "key.pem"}, 2), HasSubstr("--lan"));
  EXPECT_THAT(said({"--lan", "--address", "::1"}, 2), HasSubstr("no IPv4 address"));
  EXPECT_THAT(said({"--lan", "--address", "192.0.2.222"}, 3), HasSubstr("an address that this machine has"));
  EXPECT_THAT(said({"--lan", "--certificate", "/no/such.pem", "--key", "/no/such.pem"}, 2), HasSubstr("no such file"));
  const std::string nonsense = (folder_.path() / "nonsense.pem").string();
  base::write_file(nonsense, std::string_view("hello"));
  EXPECT_THAT(said({"--lan", "--certificate", nonsense, "--key", nonsense}, 2),
              AllOf(HasSubstr("nonsense.pem: --certificate"), HasSubstr("-----BEGIN CERTIFICATE-----")));
}

}  // namespace
}  // namespace throughcure::tests
