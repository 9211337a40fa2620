// A program killed at any moment loses nothing that it has answered, and leaves records that hang together. A child
// writes and says the number of each reading once the write has returned; it is killed (SIGKILL) at a random moment.
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

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <poll.h>
#include <sys/wait.h>
#include <unistd.h>

#include "contract/files_at.hpp"
#include "contract/places.hpp"
#include "contract/practice.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::tests {
namespace {

/// Every third write attaches a file too.
bool has_paper(int shown) { return shown % 3 == 0; }

/// Writes until it is killed; an answer is a line "number shown".
[[noreturn]] void write_for_ever(const store::Place& place, const Practice& p, int answers, int round) {
  store::Store records(place);
  for (int i = 0;; ++i) {
    const double shown = 1000 * round + i;
    std::int64_t number = 0;
    records.write(program(i), [&](store::Writer& w) {
      number = w.add(reading_of(p, shown)).number;
      if (!has_paper(static_cast<int>(shown))) return;
      // Its bytes are on the disk before it is known whether this write ends well.
      practice::Attachment about = paper_of(p);
      about.name = std::to_string(number);
      w.attach(about, "%PDF-1.7 of reading " + about.name + " in round " + std::to_string(round));
    });
    const std::string line = std::to_string(number) + " " + std::to_string(static_cast<int>(shown)) + "\n";
    if (write(answers, line.data(), line.size()) != static_cast<ssize_t>(line.size())) _exit(1);
  }
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
  std::uniform_int_distribution<int> answers(1, 6);
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
      try {
        write_for_ever(place(), p, pipe_ends[1], round);
      } catch (const std::exception& e) {
        std::fprintf(stderr, "the writer failed: %s\n", e.what());
        _exit(2);
      }
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
    while (lines >> number >> shown) answered[number] = shown;

    store::Store records(place());
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
  EXPECT_GT(answered.size(), static_cast<std::size_t>(kills)) << "it hardly came to write anything";
  std::printf("%zu writes answered before %d kills\n", answered.size(), kills);
}

INSTANTIATE_TEST_SUITE_P(On, KilledProgram, both(), database_name);

}  // namespace
}  // namespace throughcure::tests
