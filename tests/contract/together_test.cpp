// Writes that several threads ask for at once. No outside source: this is our own contract.
#include <array>
#include <atomic>
#include <chrono>
#include <set>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "contract/places.hpp"
#include "contract/practice.hpp"
#include "throughcure/base/problem.hpp"

namespace throughcure::tests {
namespace {

class Together : public EveryDatabase {};

/// Waits until `others` have asked for a write, so that they stand behind this one.
void hold_until(const std::atomic<int>& asked, int others) {
  while (asked < others) std::this_thread::sleep_for(std::chrono::milliseconds(5));
  std::this_thread::sleep_for(std::chrono::milliseconds(200));
}

TEST_P(Together, WhoComesWhileAnotherWritesIsCommittedWithTheNext) {
  store::Store records(place());
  const Practice p = open_practice(records);
  constexpr int kOthers = 6;
  std::atomic<int> asked = 0;
  std::atomic<bool> holds = false;
  std::array<std::thread::id, kOthers> done_by;
  std::array<base::ReadingId, kOthers> made;
  std::array<std::string, kOthers> said;
  {
    std::vector<std::jthread> threads;
    threads.emplace_back([&] {
      records.write(program(), [&](store::Writer& w) {
        holds = true;
        hold_until(asked, kOthers);
        w.add(reading_of(p, 1000));
      });
    });
    while (!holds) std::this_thread::sleep_for(std::chrono::milliseconds(1));
    for (std::size_t i = 0; i < kOthers; ++i) {
      threads.emplace_back([&, i] {
        ++asked;
        try {
          records.write({std::to_string(i + 1), kMonday}, [&](store::Writer& w) {
            done_by.at(i) = std::this_thread::get_id();
            made.at(i) = w.add(reading_of(p, 100.0 + static_cast<double>(i)));
            if (i == 2) throw std::runtime_error("this one is not to be");
            if (i == 4) w.add(practice::Room{{77}, "of no site", {}, {}});
          });
        } catch (const std::exception& error) {
          said.at(i) = error.what();
        }
      });
    }
  }
  EXPECT_EQ(std::set<std::thread::id>(done_by.begin(), done_by.end()).size(), 1U) << "one of them did all";
  EXPECT_EQ(said[2], "this one is not to be");
  EXPECT_THAT(said[4], testing::HasSubstr("there is no site with the number 77"));
  records.read([&](const store::Reader& r) {
    EXPECT_EQ(r.list<fleet::ReadingEntry>().size(), 1U + kOthers - 2);
    EXPECT_EQ(r.list<practice::Room>().size(), 1U) << "only that of the practice";
    for (const std::size_t i : {0U, 1U, 3U, 5U}) {
      EXPECT_EQ(said.at(i), "");
      const auto kept = r.get<fleet::ReadingEntry>(made.at(i)).value();
      EXPECT_EQ(kept.record.shown_mw_cm2, 100.0 + static_cast<double>(i)) << "no number was given twice";
      const auto change = r.changes(static_cast<std::uint64_t>(kept.change), 1).at(0);
      EXPECT_EQ(change.person, std::to_string(i + 1)) << "each in its own name";
      EXPECT_EQ(change.record, std::to_string(kept.id.number));
    }
    EXPECT_EQ(r.edge().size(), r.leaves(1, 1000).size());
    EXPECT_EQ(practice::merkle_root(r.leaves(1, 1000)), r.edge().root());
  });
}

TEST_P(Together, ManyAtOnceAreAllThereAndNoneTwice) {
  store::Store records(place());
  const Practice p = open_practice(records);
  constexpr int kThreads = 8;
  constexpr int kEach = 25;
  std::atomic<int> kept = 0;
  {
    std::vector<std::jthread> threads;
    threads.reserve(kThreads);
    for (int t = 0; t < kThreads; ++t) {
      threads.emplace_back([&, t] {
        for (int i = 0; i < kEach; ++i) {
          try {
            records.write(program(), [&](store::Writer& w) {
              w.add(reading_of(p, 1 + t * kEach + i));
              if (i % 5 == 3) throw std::runtime_error("no");
            });
            ++kept;
          } catch (const std::runtime_error&) {
            continue;
          }
        }
      });
    }
  }
  EXPECT_EQ(kept, kThreads * kEach * 4 / 5);
  records.read([&](const store::Reader& r) {
    const auto readings = r.list<fleet::ReadingEntry>();
    std::set<double> shown;
    for (const auto& one : readings) shown.insert(one.record.shown_mw_cm2);
    EXPECT_EQ(readings.size(), static_cast<std::size_t>(kept));
    EXPECT_EQ(shown.size(), static_cast<std::size_t>(kept));
    EXPECT_EQ(r.edge().size(), r.leaves(1, 1000).size());
    EXPECT_EQ(practice::merkle_root(r.leaves(1, 1000)), r.edge().root());
  });
}

INSTANTIATE_TEST_SUITE_P(On, Together, both(), database_name);

}  // namespace
}  // namespace throughcure::tests
