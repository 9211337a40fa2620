// The server over real sockets and real TLS: what it agrees to, what it refuses, and that its limits hold there too.
#include <atomic>
#include <chrono>
#include <csignal>
#include <memory>
#include <string>
#include <thread>
#include <utility>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/tls_wire.hpp"
#include "throughcure/service/local_certificate.hpp"
#include "throughcure/service/server.hpp"

namespace throughcure::service {
namespace {

using namespace std::chrono_literals;
using testing::AllOf;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;
using tests::Socket;
using tests::TlsAnswer;
using tests::TlsWire;

const TlsIdentity identity = make_local_certificate({"127.0.0.1", "localhost"}, {1'767'600'000'000'000});

ServerSettings quick_settings() {
  ServerSettings settings;
  settings.tls = identity;
  settings.most_connections = 4;
  settings.handshake_time = 1s;
  settings.request_time = 1s;
  settings.stop_time = 4s;
  return settings;
}

/// A server that runs while the test does: /large has three megabytes, /slow takes a fifth of a second, all else says
/// which target was asked for.
class TlsServer : public testing::Test {
 protected:
  TlsServer() {
    // A client that writes to a connection that was closed on it must not end the test.
    std::signal(SIGPIPE, SIG_IGN);
    thread_ = std::thread([this] {
      server_.run(
          [this](const Request& request, const Reply& reply) {
            if (request.target == "/slow") {
              slow_ = std::thread([reply] {
                std::this_thread::sleep_for(200ms);
                reply(text_response(200, "text/plain", "late"));
              });
              slow_asked_ = true;
              return;
            }
            reply(text_response(200, "text/plain",
                                request.target == "/large" ? std::string(3'000'000, 'x') : request.target));
          },
          stop_.get_token(),
          [](const Request& head) {
            return head.target == "/files" && head.header("cookie") == "mine" ? std::size_t{4'000'000} : 0;
          });
    });
  }
  ~TlsServer() override {
    stop();
    if (slow_.joinable()) slow_.join();
  }

  void stop() {
    stop_.request_stop();
    if (thread_.joinable()) thread_.join();
  }

  [[nodiscard]] std::uint16_t port() const { return server_.port(); }
  static std::string get(const std::string& target) { return "GET " + target + " HTTP/1.1\r\nHost: x\r\n\r\n"; }

  Server server_{quick_settings()};
  std::stop_source stop_;
  std::thread thread_;
  std::thread slow_;
  std::atomic<bool> slow_asked_ = false;
};

TEST_F(TlsServer, AnswersOverBothVersions) {
  for (const auto& [version, name] : {std::pair{TLS1_2_VERSION, "TLSv1.2"}, std::pair{TLS1_3_VERSION, "TLSv1.3"}}) {
    TlsWire wire(port(), {.least_version = version, .most_version = version});
    ASSERT_TRUE(wire.agreed()) << name;
    EXPECT_EQ(wire.version(), name);
    for (const char* target : {"/one", "/two"}) {
      wire.send(get(target));
      const TlsAnswer answer = wire.receive();
      EXPECT_EQ(answer.status, 200);
      EXPECT_EQ(answer.body, target) << "one connection carries several";
    }
  }
}

TEST_F(TlsServer, SendsALargeAnswerWhole) {
  TlsWire wire(port());
  wire.send(get("/large"));
  EXPECT_EQ(wire.receive().body, std::string(3'000'000, 'x'));
}

TEST_F(TlsServer, TakesNoOldVersion) {
  for (const int version : {TLS1_VERSION, TLS1_1_VERSION}) {
    EXPECT_FALSE(TlsWire(port(), {.least_version = version, .most_version = version}).agreed());
  }
}

TEST_F(TlsServer, TakesNoWeakCipher) {
  const auto agreed = [this](const char* ciphers) {
    return TlsWire(port(), {.most_version = TLS1_2_VERSION, .ciphers_12 = ciphers}).agreed();
  };
  for (const char* weak : {"AES128-SHA", "AES256-GCM-SHA384", "ECDHE-ECDSA-AES128-SHA", "ECDHE-ECDSA-AES256-SHA384",
                           "ECDHE-ECDSA-NULL-SHA", "ECDHE-ECDSA-AES128-CCM8", "AECDH-AES256-SHA"}) {
    EXPECT_FALSE(agreed(weak)) << weak;
  }
  for (const char* good :
       {"ECDHE-ECDSA-AES128-GCM-SHA256", "ECDHE-ECDSA-AES256-GCM-SHA384", "ECDHE-ECDSA-CHACHA20-POLY1305"}) {
    EXPECT_TRUE(agreed(good)) << good;
  }
  const TlsWire any(port(), {.most_version = TLS1_2_VERSION});
  EXPECT_THAT(any.cipher(), StartsWith("ECDHE-ECDSA-"));
}

TEST_F(TlsServer, AgreesOnce) {
  const TlsWire wire(port(), {.most_version = TLS1_2_VERSION});
  ASSERT_TRUE(wire.agreed());
  ASSERT_EQ(SSL_renegotiate(wire.raw()), 1);
  EXPECT_NE(SSL_do_handshake(wire.raw()), 1);
  EXPECT_THAT(ERR_reason_error_string(ERR_peek_error()), HasSubstr("no renegotiation"));
}

TEST_F(TlsServer, TellsPlainHttpOfHttpsAndCloses) {
  const Socket plain(port());
  plain.send(get("/secret"));
  const std::string said = plain.last_words(700ms).value_or("still open");
  EXPECT_THAT(said, AllOf(StartsWith("HTTP/1.1 400"), HasSubstr("Put https:// before it"),
                          HasSubstr("Connection: close"), Not(HasSubstr("/secret"))));
}

TEST_F(TlsServer, StopsWhileItTellsPlainHttpOfHttps) {
  const Socket plain(port());
  plain.send(get("/"));
  EXPECT_TRUE(plain.closes_within(700ms));
  const auto start = std::chrono::steady_clock::now();
  stop();
  EXPECT_LT(std::chrono::steady_clock::now() - start, 1500ms) << "though this client stays";
}

TEST_F(TlsServer, ClosesOnNonsense) {
  const Socket nonsense(port());
  nonsense.send(std::string(10'000, '\x16'));
  EXPECT_TRUE(nonsense.closes_within(700ms));
}

TEST_F(TlsServer, WaitsOnlySoLongForTheHandshake) {
  const Socket silent(port());
  const Socket halfway(port());
  halfway.send(std::string_view("\x16\x03\x01\x02\x00\x01", 6));  // a hello that never ends
  EXPECT_FALSE(silent.closes_within(200ms));
  EXPECT_TRUE(silent.closes_within(3s));
  EXPECT_TRUE(halfway.closes_within(3s));
}

TEST_F(TlsServer, WaitsOnlySoLongForARequest) {
  const TlsWire wire(port());
  wire.send("GET / HTTP/1.1\r\nHost:");
  EXPECT_TRUE(wire.socket().closes_within(3s));
}

TEST_F(TlsServer, LimitsHeaderAndBody) {
  TlsWire long_header(port());
  long_header.send("GET / HTTP/1.1\r\nHost: x\r\nX: " + std::string(20'000, 'x') + "\r\n\r\n");
  EXPECT_EQ(long_header.receive().status, 431);
  TlsWire long_body(port());
  long_body.send("POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 3000000\r\n\r\n" + std::string(3'000'000, 'x'));
  EXPECT_EQ(long_body.receive().status, 413);
  TlsWire nonsense(port());
  nonsense.send("hello there\r\n\r\n");
  EXPECT_EQ(nonsense.receive().status, 400);
}

TEST_F(TlsServer, TakesALargerBodyWhereTheHeaderSaysSo) {
  const auto head = [](const std::string& target, const std::string& cookie, const std::string& length) {
    return "POST " + target + " HTTP/1.1\r\nHost: x\r\nCookie: " + cookie + "\r\n" + length + "\r\n\r\n";
  };
  const std::string bytes(3'000'000, 'x');
  TlsWire taken(port());
  taken.send(head("/files", "mine", "Content-Length: 3000000") + bytes);
  EXPECT_EQ(taken.receive().body, "/files");
  taken.send(head("/files", "mine", "Transfer-Encoding: chunked") + "2dc6c0\r\n" + bytes + "\r\n0\r\n\r\n");
  EXPECT_EQ(taken.receive().body, "/files");
  // The answer comes without a byte of the body.
  for (const auto& said :
       {head("/files", "mine", "Content-Length: 4000001"), head("/files", "another's", "Content-Length: 3000000"),
        head("/else", "mine", "Content-Length: 3000000"),
        head("/files", "mine", "Content-Length: 18446744073709551615")}) {
    TlsWire refused(port());
    refused.send(said);
    EXPECT_EQ(refused.receive().status, 413) << said;
  }
  TlsWire chunked(port());
  chunked.send(head("/files", "mine", "Transfer-Encoding: chunked") + "4c4b40\r\n" + bytes);
  EXPECT_EQ(chunked.receive().status, 413);
}

TEST_F(TlsServer, TellsWhenThereAreTooMany) {
  std::vector<std::unique_ptr<TlsWire>> open;
  for (int i = 0; i < 4; ++i) {
    open.push_back(std::make_unique<TlsWire>(port()));
    ASSERT_TRUE(open.back()->agreed());
  }
  TlsWire fifth(port());
  ASSERT_TRUE(fifth.agreed());
  EXPECT_EQ(fifth.receive().status, 503);
  open.front()->send(get("/still"));
  EXPECT_EQ(open.front()->receive().body, "/still");
}

TEST_F(TlsServer, SaysGoodbyeAfterTheLastAnswer) {
  TlsWire wire(port());
  wire.send("GET /last HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n");
  EXPECT_EQ(wire.receive().body, "/last");
  EXPECT_TRUE(wire.ends());
  EXPECT_NE(SSL_get_shutdown(wire.raw()) & SSL_RECEIVED_SHUTDOWN, 0) << "by TLS itself, so nobody cut it short";
}

TEST_F(TlsServer, StopsAfterTheAnswerThatIsBeingMadeAndWaitsForNoGoodbye) {
  TlsWire wire(port());
  wire.send(get("/slow"));
  while (!slow_asked_) std::this_thread::sleep_for(1ms);
  const auto start = std::chrono::steady_clock::now();
  std::thread stopping([this] { stop(); });
  EXPECT_EQ(wire.receive().body, "late");
  stopping.join();
  EXPECT_LT(std::chrono::steady_clock::now() - start, 1500ms)
      << "not the two seconds of the goodbye, nor the four of the stop";
}

TEST_F(TlsServer, StopsWithClientsInEveryState) {
  const Socket silent(port());
  const TlsWire idle(port());
  TlsWire served(port());
  served.send(get("/"));
  ASSERT_EQ(served.receive().status, 200);
  TlsWire leaving(port());
  leaving.send("GET / HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n");
  ASSERT_EQ(leaving.receive().status, 200);
  const auto start = std::chrono::steady_clock::now();
  stop();
  EXPECT_LT(std::chrono::steady_clock::now() - start, 1500ms);
  EXPECT_TRUE(silent.closes_within(1s));
  EXPECT_TRUE(idle.socket().closes_within(1s));
}

}  // namespace
}  // namespace throughcure::service
