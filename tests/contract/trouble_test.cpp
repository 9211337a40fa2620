// A disk that is full, a database that another program holds: what was answered stays, what was not says so.
#include <algorithm>
#include <array>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <filesystem>
#include <map>
#include <string>
#include <thread>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "contract/places.hpp"
#include "contract/practice.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/store/session.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::tests {
namespace {

using testing::HasSubstr;

/// Writes until the disk has no more room; says each number, then what it was told.
[[noreturn]] void write_until_full(const store::Place& place, const Practice& p, int answers) {
  const auto& path = std::get<store::InFile>(place).path;
  // No file may grow beyond this: the write-ahead log meets it first.
  std::signal(SIGXFSZ, SIG_IGN);  // NOLINT(*-pro-type-cstyle-cast): the system's own macro
  const rlim_t most = std::filesystem::file_size(path) + 200'000;
  const rlimit limit{most, most};
  setrlimit(RLIMIT_FSIZE, &limit);
  const auto say = [&](const std::string& line) {
    if (write(answers, line.data(), line.size()) != static_cast<ssize_t>(line.size())) _exit(1);
  };
  try {
    store::Store records(place);
    for (int i = 0;; ++i) {
      std::int64_t number = 0;
      practice::Restoration restoration = restoration_of(p, "chart " + std::to_string(i));
      restoration.resolved_case = std::string(5000, 'x');
      records.write(program(i), [&](store::Writer& w) { number = w.add(restoration).number; });
      say(std::to_string(number) + "\n");
    }
  } catch (const base::Failure& e) {
    say(std::string("full: ") + e.what() + "\n");
    _exit(0);
  } catch (const std::exception&) {
    _exit(2);
  }
}

TEST(FullDisk, LosesNothingThatWasAnsweredAndSaysSo) {
  const std::unique_ptr<Ground> ground = ground_called("file");
  Practice p;
  {
    store::Store records(ground->place());
    p = open_practice(records);
  }
  std::array<int, 2> pipe_ends{};
  ASSERT_EQ(pipe(pipe_ends.data()), 0);
  const pid_t child = fork();
  ASSERT_GE(child, 0);
  if (child == 0) {
    close(pipe_ends[0]);
    write_until_full(ground->place(), p, pipe_ends[1]);
  }
  close(pipe_ends[1]);
  std::string said;
  std::array<char, 4096> part{};
  for (ssize_t n = 0; (n = read(pipe_ends[0], part.data(), part.size())) > 0;) {
    said.append(part.data(), static_cast<std::size_t>(n));
  }
  close(pipe_ends[0]);
  int status = 0;
  waitpid(child, &status, 0);
  ASSERT_TRUE(WIFEXITED(status) && WEXITSTATUS(status) == 0) << said;
  EXPECT_THAT(said, HasSubstr("full: "));
  EXPECT_THAT(said, HasSubstr("Nothing was changed. The disk is full"));
  const auto answered = std::ranges::count(said, '\n') - 1;
  EXPECT_GT(answered, 3) << said;

  store::Store records(ground->place());
  records.read([&](const store::Reader& r) {
    const auto there = r.list<practice::Restoration>();
    EXPECT_EQ(static_cast<std::ptrdiff_t>(there.size()), answered);
    EXPECT_EQ(r.edge().size(), 6 + there.size());
    EXPECT_EQ(practice::merkle_root(r.leaves(1, 100'000)), r.edge().root());
  });
  records.write(program(), [&](store::Writer& w) { w.add(restoration_of(p, "there is room again")); });
}

class HeldDatabase : public EveryDatabase {};

TEST_P(HeldDatabase, AWriterWaitsForTheOneBefore) {
  store::Store records(place());
  const Practice p = open_practice(records);
  store::Session other(place());
  other.begin_writing();
  other.run("UPDATE room SET name = 'held' WHERE id = 1");
  std::thread writer([&] {
    records.write(program(), [&](store::Writer& w) {
      w.correct(p.room, 1, practice::Room{p.site, "after " + w.get<practice::Room>(p.room)->record.name});
    });
  });
  std::this_thread::sleep_for(std::chrono::milliseconds(300));
  records.read([&](const store::Reader& r) {
    EXPECT_EQ(r.get<practice::Room>(p.room)->record.name, "Room 2") << "readers do not wait, and see what stands";
  });
  other.commit();
  writer.join();
  records.read([&](const store::Reader& r) {
    EXPECT_EQ(r.get<practice::Room>(p.room)->record.name, "after held") << "it read after the other had written";
  });
}

INSTANTIATE_TEST_SUITE_P(On, HeldDatabase, both(), database_name);

}  // namespace
}  // namespace throughcure::tests
