// A running server goes over to a new certificate, by a clock and files of this test, and drops nobody.
#include "throughcure/service/certificate_watch.hpp"

#include <atomic>
#include <chrono>
#include <csignal>
#include <filesystem>
#include <string>
#include <thread>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "service/scratch_folder.hpp"
#include "support/tls_wire.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/service/certificate.hpp"
#include "throughcure/service/local_certificate.hpp"
#include "throughcure/service/recurring.hpp"
#include "throughcure/service/server.hpp"

namespace throughcure::service {
namespace {

using namespace std::chrono_literals;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using tests::TlsWire;

const base::Instant kBegin = base::parse_instant("2026-01-05T08:00:00.000000Z").value();

base::Instant after(std::chrono::seconds time) { return {kBegin.us + std::chrono::microseconds(time).count()}; }

/// A server over TLS that says which target was asked for.
class Shown {
 public:
  explicit Shown(const TlsIdentity& first)
      : server_(settings(first)), thread_([this] {
          server_.run([](const Request& request,
                         const Reply& reply) { reply(text_response(200, "text/plain", request.target)); },
                      stop_.get_token());
        }) {
    std::signal(SIGPIPE, SIG_IGN);
  }
  Shown(const Shown&) = delete;
  Shown& operator=(const Shown&) = delete;
  ~Shown() {
    stop_.request_stop();
    thread_.join();
  }
  [[nodiscard]] Server& server() { return server_; }
  [[nodiscard]] std::string fingerprint() const { return TlsWire(server_.port()).fingerprint(); }
  [[nodiscard]] static std::string asked(TlsWire& wire, const std::string& target) {
    wire.send("GET " + target + " HTTP/1.1\r\nHost: x\r\n\r\n");
    return wire.receive().body;
  }

 private:
  static ServerSettings settings(const TlsIdentity& first) {
    ServerSettings settings;
    settings.tls = first;
    return settings;
  }
  Server server_;
  std::stop_source stop_;
  std::thread thread_;
};

class CertificateWatchTest : public testing::Test {
 protected:
  CertificateWatch watch(Shown& shown, const TlsIdentity& first, std::function<TlsIdentity()> current) {
    return {first, std::move(current), [&shown](const TlsIdentity& identity) { shown.server().show(identity); },
            [this](std::string_view words) { said_.emplace_back(words); }};
  }
  tests::ScratchFolder folder_;
  std::vector<std::string> said_;
};

TEST_F(CertificateWatchTest, RenewsItsOwnBeforeItEndsAndDropsNobody) {
  base::Instant now = kBegin;
  const auto current = [&] { return local_certificate(folder_.path(), {"127.0.0.1"}, now); };
  const TlsIdentity first = current();
  Shown shown(first);
  CertificateWatch watch = this->watch(shown, first, current);
  const std::string old = shown.fingerprint();
  TlsWire open(shown.server().port());
  ASSERT_EQ(Shown::asked(open, "/before"), "/before");

  now = after(kCertificateLasts - kRenewedBefore - std::chrono::hours(2));
  watch.look();
  EXPECT_EQ(shown.fingerprint(), old) << "a day too early";
  EXPECT_THAT(said_, IsEmpty());

  now = after(kCertificateLasts - kRenewedBefore);
  watch.look();
  const std::string renewed = shown.fingerprint();
  EXPECT_NE(renewed, old);
  EXPECT_THAT(said_, ElementsAre(HasSubstr(renewed)));
  EXPECT_EQ(certificate_facts(current().certificate_pem)->fingerprint_sha256, renewed) << "it is kept as well";
  EXPECT_GT(certificate_facts(current().certificate_pem)->ends.us, after(kCertificateLasts).us);
  EXPECT_EQ(Shown::asked(open, "/after"), "/after") << "who was connected goes on, on the old one";
  EXPECT_EQ(open.fingerprint(), old);

  watch.look();
  EXPECT_EQ(said_.size(), 1U) << "once";
}

TEST_F(CertificateWatchTest, ReadsGivenFilesAgainAndGoesOnWhileTheyDoNotFit) {
  const std::string certificate = (folder_.path() / "chain.pem").string();
  const std::string key = (folder_.path() / "key.pem").string();
  const auto keep = [](const std::string& file, const std::string& text) { base::write_private_file(file, text); };
  const TlsIdentity before = make_local_certificate({"lights.practice.example"}, kBegin);
  const TlsIdentity next = make_local_certificate({"lights.practice.example"}, after(24h));
  keep(certificate, before.certificate_pem);
  keep(key, before.key_pem);
  Shown shown(before);
  CertificateWatch watch = this->watch(shown, before, [&] { return read_tls_identity(certificate, key); });
  watch.look();
  EXPECT_THAT(said_, IsEmpty());

  keep(certificate, next.certificate_pem);
  watch.look();
  watch.look();
  EXPECT_THAT(said_, ElementsAre(HasSubstr("not the key of the certificate"))) << "told once";
  EXPECT_EQ(shown.fingerprint(), fingerprint_sha256(before.certificate_pem));

  keep(key, next.key_pem);
  watch.look();
  EXPECT_EQ(shown.fingerprint(), fingerprint_sha256(next.certificate_pem));
  EXPECT_THAT(said_.back(), HasSubstr(fingerprint_sha256(next.certificate_pem)));

  std::filesystem::remove(key);
  watch.look();
  EXPECT_THAT(said_.back(), HasSubstr(key));
  EXPECT_EQ(shown.fingerprint(), fingerprint_sha256(next.certificate_pem));
}

TEST(Server, OverPlainHttpShowsNoCertificate) {
  Server plain(ServerSettings{});
  EXPECT_THROW(plain.show(make_local_certificate({"127.0.0.1"}, kBegin)), base::Failure);
}

TEST(Recurring, IsDoneAtOnceAndAgainAndEndsWithItsOwner) {
  std::atomic<int> done = 0;
  {
    const Recurring work(1ms, [&] { ++done; });
    for (int waited = 0; done < 3 && waited < 5000; ++waited) std::this_thread::sleep_for(1ms);
  }
  const int at_the_end = done;
  EXPECT_GE(at_the_end, 3);
  std::this_thread::sleep_for(20ms);
  EXPECT_EQ(done, at_the_end);
  const auto begin = std::chrono::steady_clock::now();
  {
    const Recurring rare(1h, [] {});
  }
  EXPECT_LT(std::chrono::steady_clock::now() - begin, 10s) << "nobody waits for the next time";
}

}  // namespace
}  // namespace throughcure::service
