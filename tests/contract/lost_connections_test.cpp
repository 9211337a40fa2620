// A server that was started again has thrown every connection away: nobody who asks afterwards is told so. No outside
// source: our own contract.
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "contract/places.hpp"
#include "contract/practice.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/store/session.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::tests {
namespace {

using testing::HasSubstr;

/// Ends every other connection to the server, as its restart would; says how many.
std::int64_t end_all_others(const store::Place& place) {
  store::Session session(place);
  return std::get<std::int64_t>(session
                                    .ask_one("SELECT count(pg_terminate_backend(pid, 5000)) FROM pg_stat_activity "
                                             "WHERE pid <> pg_backend_pid() AND backend_type = 'client backend'",
                                             {}, {base::ValueType::kWhole})
                                    .at(0));
}

class LostConnections : public testing::Test {
 protected:
  LostConnections() : ground_(ground_called("server")), records_(ground_->place()), p_(open_practice(records_)) {}

  /// Reads inside reads: as many connections at once.
  void read(int at_once) {
    records_.read([&](const store::Reader& reader) {
      EXPECT_EQ(reader.get<practice::Room>(p_.room)->record.name, "Room 2");
      if (at_once > 1) read(at_once - 1);
    });
  }

  std::unique_ptr<Ground> ground_;
  store::Store records_;
  Practice p_;
};

TEST_F(LostConnections, NobodyWhoReadsAfterwardsIsTold) {
  read(5);
  ASSERT_GE(end_all_others(ground_->place()), 5);
  for (int i = 0; i < 6; ++i) EXPECT_NO_THROW(read(1)) << i;
  EXPECT_NO_THROW(read(5));
}

TEST_F(LostConnections, NobodyWhoWritesAfterwardsIsTold) {
  read(5);
  ASSERT_GE(end_all_others(ground_->place()), 5);
  for (int i = 0; i < 6; ++i) {
    EXPECT_NO_THROW(records_.write(program(i), [&](store::Writer& w) { w.add(reading_of(p_, 900 + i)); })) << i;
  }
  records_.read([&](const store::Reader& r) { EXPECT_EQ(r.list<fleet::ReadingEntry>().size(), 6U); });
}

TEST_F(LostConnections, OneThatIsLostInTheMiddleIsToldOnce) {
  read(5);
  EXPECT_THROW(records_.read([&](const store::Reader& reader) {
    end_all_others(ground_->place());
    (void)reader.get<practice::Room>(p_.room);
  }),
               base::Failure);
  EXPECT_NO_THROW(read(5));
}

TEST_F(LostConnections, WhetherACommitThatWasCutOffWasKeptIsNotKnown) {
  store::Session session(ground_->place());
  session.run(
      "CREATE FUNCTION cut_off() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN PERFORM "
      "pg_terminate_backend(pg_backend_pid()); PERFORM pg_sleep(5); RETURN NULL; END'");
  session.run(
      "CREATE CONSTRAINT TRIGGER at_commit AFTER INSERT ON reading DEFERRABLE INITIALLY DEFERRED FOR EACH ROW EXECUTE "
      "FUNCTION cut_off()");
  const auto add = [&] { records_.write(program(), [&](store::Writer& w) { w.add(reading_of(p_, 900)); }); };
  try {
    add();
    FAIL() << "the commit was cut off";
  } catch (const base::Failure& e) {
    EXPECT_THAT(e.what(), HasSubstr("it is not known whether it was"));
    EXPECT_THAT(e.what(), HasSubstr("send the same again"));
    EXPECT_THAT(e.what(), testing::Not(HasSubstr("Nothing was changed")));
  }
  session.run("DROP TRIGGER at_commit ON reading");
  EXPECT_NO_THROW(add());
}

}  // namespace
}  // namespace throughcure::tests
