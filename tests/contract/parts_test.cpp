// Rows that wait and parts that are undone alone: whatever is sent when, what is there afterwards is what a statement
// at a time would have left. No outside source: this is our own contract.
#include <atomic>
#include <chrono>
#include <functional>
#include <random>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "contract/places.hpp"
#include "contract/practice.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/practice/digest.hpp"
#include "throughcure/store/session.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::tests {
namespace {

using base::ValueType;
using testing::ElementsAre;

class Parts : public EveryDatabase {
 protected:
  Parts() {
    session_.run(session_.on_server() ? "CREATE TABLE thing (number BIGINT, said TEXT, share DOUBLE PRECISION)"
                                      : "CREATE TABLE thing (number INTEGER, said TEXT, share REAL) STRICT");
  }
  void later(std::int64_t number, base::Value said = {}, base::Value share = {}) {
    session_.insert_later({.table = "thing",
                           .columns = {"number", "said", "share"},
                           .types = {ValueType::kWhole, ValueType::kText, ValueType::kReal}},
                          {number, std::move(said), std::move(share)});
  }
  std::vector<std::int64_t> there() { return there(session_); }
  std::vector<std::int64_t> seen_by_others() {
    store::Session other(place());
    return there(other);
  }

  store::Session session_{place()};

 private:
  static std::vector<std::int64_t> there(store::Session& session) {
    std::vector<std::int64_t> found;
    for (const auto& row : session.ask("SELECT number FROM thing ORDER BY number", {}, {ValueType::kWhole})) {
      found.push_back(std::get<std::int64_t>(row[0]));
    }
    return found;
  }
};

TEST_P(Parts, ManyRowsComeBackAsTheyWereWhateverIsMissingInThem) {
  constexpr std::int64_t kRows = 700;
  const auto said = [](std::int64_t i) {
    return i % 3 == 0 ? base::Value() : base::Value("row '" + std::to_string(i));
  };
  const auto share = [](std::int64_t i) {
    return i % 5 == 1 ? base::Value() : base::Value(0.1 * static_cast<double>(i));
  };
  session_.begin_writing();
  for (std::int64_t i = 0; i < kRows; ++i) later(i, said(i), share(i));
  session_.commit();
  const auto rows = session_.ask("SELECT number, said, share FROM thing ORDER BY number", {},
                                 {ValueType::kWhole, ValueType::kText, ValueType::kReal});
  ASSERT_EQ(rows.size(), static_cast<std::size_t>(kRows));
  for (std::int64_t i = 0; i < kRows; ++i) {
    EXPECT_THAT(rows[static_cast<std::size_t>(i)], ElementsAre(base::Value(i), said(i), share(i)));
  }
}

TEST_P(Parts, WhoAsksForTheirTableSeesThem) {
  session_.begin_writing();
  later(1);
  EXPECT_THAT(there(), ElementsAre(1));
  later(2);
  session_.run("UPDATE thing SET number = number + 10");
  EXPECT_THAT(there(), ElementsAre(11, 12));
  EXPECT_THAT(seen_by_others(), ElementsAre());
  session_.commit();
  EXPECT_THAT(seen_by_others(), ElementsAre(11, 12));
}

TEST_P(Parts, OneThatIsUndoneTakesNothingElseWithIt) {
  session_.begin_writing();
  session_.begin_part();
  later(1);
  session_.begin_part();  // tells nothing before it is undone
  later(2);
  session_.undo_part();
  session_.begin_part();  // is told together with what came before it, twice
  later(3);
  EXPECT_THAT(there(), ElementsAre(1, 3));
  later(4);
  EXPECT_THAT(there(), ElementsAre(1, 3, 4));
  later(5);
  session_.undo_part();
  session_.begin_part();
  later(6);
  EXPECT_THAT(there(), ElementsAre(1, 6));
  session_.begin_part();
  session_.run("UPDATE thing SET number = 60 WHERE number = 6");
  session_.undo_part();
  session_.begin_part();
  later(7);
  session_.commit();
  EXPECT_THAT(seen_by_others(), ElementsAre(1, 6, 7));
}

TEST_P(Parts, OneThatAsksForNonsenseLeavesTheOthersWhole) {
  session_.begin_writing();
  session_.begin_part();
  later(1);
  session_.begin_part();
  later(2);
  EXPECT_THROW(session_.ask("SELECT number FROM nothing", {}, {ValueType::kWhole}), base::Failure);
  session_.undo_part();
  session_.begin_part();
  later(3);
  session_.commit();
  EXPECT_THAT(seen_by_others(), ElementsAre(1, 3));
}

TEST_P(Parts, WhoGoesOnAfterARefusalIsNotToldThatItWasKept) {
  // A server undoes all of a transaction that a statement failed in, and answers its COMMIT without an error.
  session_.begin_writing();
  session_.run("INSERT INTO thing (number) VALUES (1)");
  EXPECT_THROW(session_.run("INSERT INTO nothing (number) VALUES (1)"), base::Failure);
  EXPECT_THROW(session_.commit(), base::Failure);
  session_.roll_back();
  EXPECT_THAT(seen_by_others(), ElementsAre());
  session_.begin_writing();
  later(2);
  session_.commit();
  EXPECT_THAT(seen_by_others(), ElementsAre(2));
}

TEST_P(Parts, APartThatIsUndoneAfterARefusalLeavesNoMark) {
  session_.begin_writing();
  session_.begin_part();
  later(1);
  session_.begin_part();
  EXPECT_THROW(session_.run("INSERT INTO nothing (number) VALUES (1)"), base::Failure);
  EXPECT_THROW(session_.must_be_whole(), base::Failure);
  session_.undo_part();
  EXPECT_NO_THROW(session_.must_be_whole());
  session_.commit();
  EXPECT_THAT(seen_by_others(), ElementsAre(1));
}

TEST_P(Parts, WhatIsRolledBackDoesNotComeWithTheNext) {
  session_.begin_writing();
  session_.begin_part();
  later(1);
  EXPECT_THAT(there(), ElementsAre(1));
  later(2);
  session_.roll_back();
  session_.begin_writing();
  later(3);
  session_.commit();
  EXPECT_THAT(seen_by_others(), ElementsAre(3));
}

INSTANTIATE_TEST_SUITE_P(On, Parts, both(), database_name);

/// Does and sees this and that; what it saw. Throws in the end, now and then.
std::string some_work(store::Writer& w, const Practice& p, unsigned seed) {
  std::mt19937 random(seed);
  const auto below = [&](unsigned most) { return std::uniform_int_distribution<unsigned>(0, most - 1)(random); };
  std::string saw;
  for (unsigned acts = 1 + below(5); acts > 0; --acts) {
    switch (below(8)) {
      case 0:
      case 1:
        saw += "reading " + std::to_string(w.add(reading_of(p, 100.0 + seed)).number);
        break;
      case 2: {
        auto light = w.get<fleet::LightEntry>(p.light).value();
        saw += "light " + light.record.serial;
        light.record.serial = std::to_string(seed);
        w.correct(p.light, light.revision, light.record);
        break;
      }
      case 3: {
        const auto newest = w.list<fleet::ReadingEntry>({.where = {}, .order_by = {}, .descending = true, .limit = 1});
        if (newest.empty()) break;
        auto reading = newest.front();
        saw += "newest " + std::to_string(reading.id.number) + "/" + std::to_string(reading.revision);
        reading.record.mode = "mode " + std::to_string(seed);
        w.correct(reading.id, reading.revision, reading.record);
        break;
      }
      case 4: {
        const practice::Digest request = practice::sha256({"the same"});
        const std::string key = "key " + std::to_string(seed % 3);
        saw += "answer " + w.answered(key, request).value_or("none");
        if (!w.answered(key, request)) w.answer(key, request, std::to_string(seed));
        break;
      }
      case 5:
        saw += "count " + std::to_string(w.count(store::table_of<fleet::ReadingEntry>(), {}));
        break;
      case 6:
        for (const std::uint64_t first : {std::uint64_t{1}, w.log_sizes().written}) {
          for (const auto& change : w.changes(first, 1000)) saw += change.kind + change.record + ",";
        }
        break;
      default:
        try {
          w.add(practice::Room{{77}, "of no site", {}, {}});
        } catch (const base::InputError& error) {
          saw += error.what();
        }
    }
    saw += "; ";
  }
  if (below(4) == 0) throw std::runtime_error(saw);
  return saw;
}

std::string seen_or_said(store::Store& records, const Practice& p, unsigned seed, const std::function<void()>& begun) {
  std::string saw;
  try {
    records.write({"1", kMonday}, [&](store::Writer& w) {
      begun();
      saw = some_work(w, p, seed);
    });
  } catch (const std::runtime_error& error) {
    saw = std::string("no: ") + error.what();
  }
  return saw;
}

/// Everything that the practice has, revision by revision.
std::vector<std::string> all_of(store::Store& records) {
  std::vector<std::string> all;
  records.read([&](const store::Reader& r) {
    for (const auto& light : r.history<fleet::LightEntry>({1})) {
      all.push_back(light.record.serial + " by " + std::to_string(light.change));
    }
    for (const auto& newest : r.list<fleet::ReadingEntry>({.where = {}, .order_by = {}, .limit = 100'000})) {
      for (const auto& one : r.history<fleet::ReadingEntry>(newest.id)) {
        all.push_back(std::to_string(one.id.number) + "/" + std::to_string(one.revision) + " by " +
                      std::to_string(one.change) + ": " + std::to_string(one.record.shown_mw_cm2) + one.record.mode);
      }
    }
    for (const auto& change : r.changes(1, 100'000)) all.push_back(change.kind + change.record);
    EXPECT_EQ(practice::merkle_root(r.leaves(1, 100'000)), r.edge().root());
  });
  return all;
}

class TogetherOrAlone : public EveryDatabase {};

/// The same pieces of work, together in one transaction and each in its own.
TEST_P(TogetherOrAlone, EachSeesAndLeavesTheSame) {
  const std::unique_ptr<Ground> other = ground_called(GetParam());
  store::Store together(place());
  store::Store alone(other->place());
  const Practice p = open_practice(together);
  open_practice(alone);
  constexpr unsigned kOthers = 12;
  for (unsigned round = 0; round < 8; ++round) {
    std::atomic<unsigned> asked = 0;
    std::atomic<bool> holds = false;
    std::vector<std::string> saw(kOthers);
    std::vector<unsigned> order;
    {
      std::vector<std::jthread> threads;
      threads.emplace_back([&] {
        together.write(program(), [&](store::Writer&) {
          holds = true;
          while (asked < kOthers) std::this_thread::sleep_for(std::chrono::milliseconds(2));
          std::this_thread::sleep_for(std::chrono::milliseconds(100));
        });
      });
      while (!holds) std::this_thread::sleep_for(std::chrono::milliseconds(1));
      for (unsigned i = 0; i < kOthers; ++i) {
        threads.emplace_back([&, i] {
          ++asked;
          saw[i] = seen_or_said(together, p, 100 * round + i, [&] { order.push_back(i); });
        });
      }
    }
    ASSERT_EQ(order.size(), kOthers);
    for (const unsigned i : order) {
      EXPECT_EQ(saw[i], seen_or_said(alone, p, 100 * round + i, [] {})) << "round " << round << ", " << i;
    }
    ASSERT_EQ(all_of(together), all_of(alone)) << "round " << round;
  }
}

INSTANTIATE_TEST_SUITE_P(On, TogetherOrAlone, both(), database_name);

}  // namespace
}  // namespace throughcure::tests
