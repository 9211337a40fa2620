// A program killed at any moment loses nothing that it has answered, and leaves records that hang together. A child
// writes in several threads at once, each write with the answer to its key, and says the number of each reading once
// the write has returned; it is killed (SIGKILL) at a random moment.
#include <algorithm>
#include <array>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <limits>
#include <map>
#include <random>
#include <sstream>
#include <string>
#include <thread>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <poll.h>
#include <sys/wait.h>
#include <unistd.h>

#include "contract/files_at.hpp"
#include "contract/places.hpp"
#include "contract/practice.hpp"
#include "throughcure/practice/digest.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::tests {
namespace {

/// Every third write attaches a file too.
bool has_paper(int shown) { return shown % 3 == 0; }

constexpr int kWriters = 4;

/// Under which the write of a reading is answered, and what that answer is of.
std::string key_of(int shown) { return "key-of-the-reading-" + std::to_string(shown); }
practice::Digest request_of(int shown) { return practice::sha256({std::to_string(shown)}); }

/// Writes until it is killed; an answer is a line "number shown".
[[noreturn]] void write_for_ever(store::Store& records, const Practice& p, int answers, int round, int writer) {
  for (int i = 0;; ++i) {
    const int shown = 100'000 * round + kWriters * i + writer;
    std::int64_t number = 0;
    records.write(program(i), [&](store::Writer& w) {
      number = w.add(reading_of(p, shown)).number;
      w.answer(key_of(shown), request_of(shown), std::to_string(number));
      if (!has_paper(shown)) return;
      // Its bytes are on the disk before it is known whether this write ends well.
      practice::Attachment about = paper_of(p);
      about.name = std::to_string(number);
      w.attach(about, "%PDF-1.7 of reading " + about.name + " in round " + std::to_string(round));
    });
    const std::string line = std::to_string(number) + " " + std::to_string(shown) + "\n";
    // So few bytes go through a pipe in one piece.
    if (write(answers, line.data(), line.size()) != static_cast<ssize_t>(line.size())) _exit(1);
  }
}

/// In several threads of one store, whose writes are committed together.
[[noreturn]] void write_at_once(const store::Place& place, const Practice& p, int answers, int round) {
  try {
    store::Store records(place);
    std::vector<std::thread> writers;
    writers.reserve(kWriters);
    for (int writer = 0; writer < kWriters; ++writer) {
      writers.emplace_back([&, writer] {
        try {
          write_for_ever(records, p, answers, round, writer);
        } catch (const std::exception& e) {
          std::fprintf(stderr, "a writer failed: %s\n", e.what());
          _exit(2);
        }
      });
    }
    for (std::thread& writer : writers) writer.join();
  } catch (const std::exception& e) {
    std::fprintf(stderr, "the records could not be opened: %s\n", e.what());
  }
  _exit(2);
}

/// Each of these readings, by number, is answered again as it was.
void expect_answered(store::Store& records, const std::map<std::int64_t, int>& answered) {
  records.write(program(), [&](store::Writer& w) {
    for (const auto& [number, shown] : answered) {
      ASSERT_EQ(w.answered(key_of(shown), request_of(shown)), std::to_string(number))
          << "answered, then forgotten: reading " << number;
    }
  });
}

/// What comes through the pipe until it has so many lines, or nothing more for half a minute.
std::string lines_of(int from, std::ptrdiff_t lines) {
  std::string said;
  std::array<char, 4096> piece{};
  while (std::ranges::count(said, '\n') < lines) {
    pollfd waiting{from, POLLIN, 0};
    if (poll(&waiting, 1, 30'000) <= 0) break;
    const ssize_t got = read(from, piece.data(), piece.size());
    if (got <= 0) break;
    said.append(piece.data(), static_cast<std::size_t>(got));
  }
  return said;
}

class KilledProgram : public EveryDatabase {};

TEST_P(KilledProgram, LosesNothingItAnswered) {
  // NOLINTNEXTLINE(concurrency-mt-unsafe): nothing here changes the environment
  const int kills = std::getenv("THROUGHCURE_SLOW") != nullptr ? 300 : 8;
  std::mt19937 random(20049);
  std::uniform_int_distribution<int> moment_ms(15, 140);
  std::uniform_int_distribution<int> answers(1, 6 * kWriters);
  Practice p;
  {
    store::Store records(place());
    p = open_practice(records);
  }
  std::map<std::int64_t, int> answered;
  std::size_t looked_at = 0;
  for (int round = 1; round <= kills; ++round) {
    std::array<int, 2> pipe_ends{};
    ASSERT_EQ(pipe(pipe_ends.data()), 0);
    const pid_t child = fork();
    ASSERT_GE(child, 0);
    if (child == 0) {
      close(pipe_ends[0]);
      write_at_once(place(), p, pipe_ends[1], round);
    }
    close(pipe_ends[1]);
    // A moment after some answers, whatever they take on this machine; each fourth round while it may still open.
    std::string said = round % 4 == 0 ? "" : lines_of(pipe_ends[0], answers(random));
    std::this_thread::sleep_for(std::chrono::milliseconds(moment_ms(random)));
    kill(child, SIGKILL);
    int status = 0;
    waitpid(child, &status, 0);
    ASSERT_TRUE(WIFSIGNALED(status)) << "it was to be killed, not to end";
    said += lines_of(pipe_ends[0], std::numeric_limits<std::ptrdiff_t>::max());
    close(pipe_ends[0]);
    std::istringstream lines(said);
    std::int64_t number = 0;
    int shown = 0;
    std::map<std::int64_t, int> of_this_round;
    while (lines >> number >> shown) of_this_round[number] = shown;
    answered.insert(of_this_round.begin(), of_this_round.end());

    store::Store records(place());
    ASSERT_NO_FATAL_FAILURE(expect_answered(records, of_this_round));
    records.read([&](const store::Reader& r) {
      const practice::RightEdge edge = r.edge();
      const auto readings = r.list<fleet::ReadingEntry>({.where = {}, .order_by = {}, .limit = 1'000'000});
      const auto papers = r.list<practice::Attachment>({.where = {}, .order_by = {}, .limit = 1'000'000});
      // Each reading has its change, its paper where it should, and none is over: 6 changes made the practice.
      ASSERT_EQ(edge.size(), 6 + readings.size() + papers.size());
      ASSERT_EQ(static_cast<std::size_t>(std::ranges::count_if(
                    readings, [](const auto& kept) { return has_paper(static_cast<int>(kept.record.shown_mw_cm2)); })),
                papers.size());
      for (std::size_t i = looked_at; i < papers.size(); ++i) {
        ASSERT_THAT(r.file(papers[i].id), testing::HasSubstr("of reading " + papers[i].record.name + " in"));
      }
      looked_at = papers.size();
      ASSERT_EQ(files_kept(place()), papers.size()) << "an orphan was left after the start";
      ASSERT_EQ(practice::merkle_root(r.leaves(1, 1'000'000)), edge.root());
      std::map<std::int64_t, int> there;
      for (const auto& kept : readings) there[kept.id.number] = static_cast<int>(kept.record.shown_mw_cm2);
      for (const auto& [id, value] : answered) ASSERT_EQ(there[id], value) << "answered, then lost: reading " << id;
    });
  }
  store::Store records(place());
  ASSERT_NO_FATAL_FAILURE(expect_answered(records, answered));
  EXPECT_GT(answered.size(), static_cast<std::size_t>(kills)) << "it hardly came to write anything";
  std::printf("%zu writes answered before %d kills\n", answered.size(), kills);
}

INSTANTIATE_TEST_SUITE_P(On, KilledProgram, both(), database_name);

}  // namespace
}  // namespace throughcure::tests
