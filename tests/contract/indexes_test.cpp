// What is asked for at every request must not be looked for in the whole of a table: the databases' own word on how
// they would go about it. Queries as store::Reader makes them.
#include <array>
#include <string>

#include <gtest/gtest.h>

#include "contract/places.hpp"
#include "throughcure/store/session.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::tests {
namespace {

class Indexes : public EveryDatabase {};

constexpr std::array<const char*, 15> kAsked = {
    "SELECT taken_at FROM reading WHERE newest = 1 AND light = 7 ORDER BY taken_at ASC, id ASC",
    "SELECT taken_at FROM reading WHERE newest = 1 AND id = 7 ORDER BY id ASC",
    "SELECT taken_at FROM reading WHERE id = 7 AND newest = 1",
    "SELECT coalesce(max(id), 0) + 1 FROM reading",
    "SELECT id FROM restoration WHERE newest = 1 AND light = 7 AND placed_at >= 5 ORDER BY placed_at ASC, id ASC",
    "SELECT id FROM restoration WHERE newest = 1 AND chart = '7' AND placed_at >= 5 ORDER BY placed_at DESC, id DESC",
    "SELECT min(room) FROM restoration WHERE newest = 1 AND light = 7 AND room > 5",
    "SELECT id FROM restoration WHERE newest = 1 AND light = 7 AND placed_at >= 5 AND room = 7 ORDER BY placed_at ASC, "
    "id ASC",
    "SELECT restoration FROM decision WHERE newest = 1 AND look_back = 7 ORDER BY id ASC",
    "SELECT name FROM tip WHERE newest = 1 AND light = 7 ORDER BY id ASC",
    "SELECT what FROM servicing WHERE newest = 1 AND light = 7 ORDER BY at ASC, id ASC",
    "SELECT name FROM attachment WHERE newest = 1 AND belongs_to = 'light' AND record = 7 ORDER BY id ASC",
    "SELECT until FROM lookback WHERE newest = 1 AND light = 7 ORDER BY id ASC",
    "SELECT leaf FROM change_log WHERE number >= 7 ORDER BY number LIMIT 40",
    "SELECT reply FROM answer WHERE person = '7' AND request_key = 'k'"};

TEST_P(Indexes, NothingThatIsAskedOftenReadsAWholeTable) {
  const store::Store records(place());
  store::Session session(place());
  const bool server = session.on_server();
  // Small tables are read whole on a server, unless that is made dear.
  if (server) session.run("SET enable_seqscan = off");
  for (const char* const asked : kAsked) {
    std::string plan;
    if (server) {
      for (const auto& row : session.ask("EXPLAIN " + std::string(asked), {}, {base::ValueType::kText})) {
        plan += std::get<std::string>(row.at(0)) + "\n";
      }
    } else {
      using base::ValueType;
      for (const auto& row : session.ask("EXPLAIN QUERY PLAN " + std::string(asked), {},
                                         {ValueType::kWhole, ValueType::kWhole, ValueType::kWhole, ValueType::kText})) {
        plan += std::get<std::string>(row.at(3)) + "\n";
      }
    }
    EXPECT_NE(plan.find(server ? "Index" : "USING"), std::string::npos) << asked << '\n' << plan;
    EXPECT_EQ(plan.find(server ? "Seq Scan" : "SCAN"), std::string::npos) << asked << '\n' << plan;
  }
}

INSTANTIATE_TEST_SUITE_P(On, Indexes, both(), database_name);

}  // namespace
}  // namespace throughcure::tests
