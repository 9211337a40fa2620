// One program serves a database; what else works on it is let be. No outside source: our own contract.
#include "throughcure/store/only_server.hpp"

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

#include "contract/places.hpp"
#include "contract/practice.hpp"
#include "service/scratch_folder.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/store/backup.hpp"
#include "throughcure/store/session.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::tests {
namespace {

using testing::HasSubstr;

class OnlyServer : public testing::Test {
 protected:
  /// What a program that would serve as well is told; empty: it serves.
  static std::string told_to_another(const store::Place& place) {
    try {
      const store::OnlyServer another(place);
      return {};
    } catch (const base::Failure& failure) {
      return failure.what();
    }
  }

  /// Ends every connection to the server, as its restart would.
  void end_all_connections() {
    store::Session session(place_);
    const store::Values ended = session.ask_one(
        "SELECT count(pg_terminate_backend(pid, 5000)) FROM pg_stat_activity WHERE pid <> pg_backend_pid() AND "
        "backend_type = 'client backend'",
        {}, {base::ValueType::kWhole});
    EXPECT_GE(std::get<std::int64_t>(ended.at(0)), 1);
  }

  std::unique_ptr<Ground> ground_ = ground_called("server");
  store::Place place_ = ground_->place();
};

TEST_F(OnlyServer, ASecondProgramIsRefusedUntilTheFirstEnds) {
  {
    store::OnlyServer first(place_);
    EXPECT_THAT(told_to_another(place_), HasSubstr("Use that one, or stop it first"));
    EXPECT_EQ(first.look(), "");
    EXPECT_THAT(told_to_another(place_), HasSubstr("already")) << "looking lets nobody in";
  }
  EXPECT_EQ(told_to_another(place_), "");
}

TEST_F(OnlyServer, RecordsOfAnotherSchemaAreAnotherPractice) {
  const std::unique_ptr<Ground> elsewhere = ground_called("server");
  const store::OnlyServer here(place_);
  EXPECT_EQ(told_to_another(elsewhere->place()), "");
}

TEST_F(OnlyServer, WhatDoesNotServeWorksBesideIt) {
  const store::OnlyServer only(place_);
  store::Store records(place_);
  open_practice(records);
  const ScratchFolder folder;
  const store::BackupAbout about = store::back_up(place_, folder.path() / "one.backup", kMonday);
  EXPECT_GT(about.changes, 0U);
}

TEST_F(OnlyServer, IsHeldAgainAfterTheDatabaseWasStartedAgain) {
  store::OnlyServer first(place_);
  end_all_connections();
  EXPECT_EQ(first.look(), "");
  EXPECT_THAT(told_to_another(place_), HasSubstr("already"));
}

TEST_F(OnlyServer, SaysOnceWhenAnotherWasQuicker) {
  store::OnlyServer first(place_);
  end_all_connections();
  {
    const store::OnlyServer quicker(place_);
    EXPECT_THAT(first.look(), HasSubstr("another throughcure serves"));
    EXPECT_EQ(first.look(), "") << "it was told";
  }
  EXPECT_EQ(first.look(), "");
  EXPECT_THAT(told_to_another(place_), HasSubstr("already")) << "it is held again";
}

/// A machine that takes a connection and never says a word, as behind a network that was cut.
class Silent {
 public:
  Silent() : socket_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    sockaddr_in where{};
    where.sin_family = AF_INET;
    where.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    socklen_t size = sizeof where;
    // NOLINTBEGIN(cppcoreguidelines-pro-type-reinterpret-cast): as the system wants it
    EXPECT_EQ(::bind(socket_, reinterpret_cast<const sockaddr*>(&where), size), 0);
    EXPECT_EQ(::listen(socket_, 4), 0);
    EXPECT_EQ(::getsockname(socket_, reinterpret_cast<sockaddr*>(&where), &size), 0);
    // NOLINTEND(cppcoreguidelines-pro-type-reinterpret-cast)
    port_ = ntohs(where.sin_port);
  }
  ~Silent() { ::close(socket_); }
  Silent(const Silent&) = delete;
  Silent& operator=(const Silent&) = delete;
  [[nodiscard]] std::string port() const { return std::to_string(port_); }

 private:
  int socket_;
  std::uint16_t port_ = 0;
};

TEST(OnlyServerOfASilentMachine, IsGivenUpHoweverTheMachineIsNamed) {
  const Silent silent;
  for (const std::string& named :
       {"host=127.0.0.1 port=" + silent.port() + " dbname=none", "postgresql://127.0.0.1:" + silent.port() + "/none"}) {
    const auto begun = std::chrono::steady_clock::now();
    try {
      const store::OnlyServer only(store::OnServer{named});
      FAIL() << "nobody was there";
    } catch (const base::Failure& failure) {
      EXPECT_THAT(failure.what(), HasSubstr("timeout")) << named;
    }
    EXPECT_LT(std::chrono::steady_clock::now() - begun, std::chrono::seconds(30));
  }
}

TEST(OnlyServerOfAFile, KeepsNobodyOut) {
  const std::unique_ptr<Ground> ground = ground_called("file");
  store::OnlyServer first(ground->place());
  store::OnlyServer second(ground->place());
  EXPECT_EQ(first.look(), "");
  EXPECT_EQ(second.look(), "");
}

}  // namespace
}  // namespace throughcure::tests
