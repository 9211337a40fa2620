// A change that is sent again under its key is done once, and answered as it was. No outside source: our own contract.
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/fleet/equipment.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/store/session.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using nlohmann::json;
using service::Method;

class OnceTest : public testing::Test {
 protected:
  OnceTest() : lead_(office_.begin()) {
    office_.join(lead_, "ana", "assistant");
    office_.records().write({"1", office_.now}, [&](store::Writer& w) {
      const base::RoomId room = w.add(practice::Room{{1}, "Room 1", {}, {}});
      for (const bool is_accepted : {true, false}) {
        w.add(fleet::LightEntry{.room = room,
                                .name = is_accepted ? "Lamp A" : "Lamp B",
                                .serial = is_accepted ? "K-1" : "K-2",
                                .claimed_mw_cm2 = {},
                                .approval_number = {},
                                .approved_by = {},
                                .bought_in = {},
                                .warranty_until = {},
                                .accepted_at = is_accepted ? std::optional(office_.now) : std::nullopt,
                                .withdrawn_at = {}});
      }
    });
  }

  std::uint64_t changes() {
    std::uint64_t size = 0;
    office_.records().read([&](const store::Reader& reader) { size = reader.edge().size(); });
    return size;
  }

  /// Sends it twice under one key, then something else under that key.
  void expect_once(Method method, const std::string& target, const json& body, const json& other) {
    SCOPED_TRACE(target);
    const std::vector<service::Header> key{{"idempotency-key", "key-of-act-" + std::to_string(++keys_) + "-00000"}};
    const Told first = office_.ask(lead_, method, target, body.dump(), key);
    EXPECT_LT(first.status, 300) << first.text;
    const std::uint64_t after_first = changes();
    office_.now += std::chrono::minutes(1);
    const Told again = office_.ask(lead_, method, target, body.dump(), key);
    EXPECT_EQ(again.status, first.status) << again.text;
    EXPECT_EQ(again.text, first.text);
    EXPECT_EQ(changes(), after_first) << "it was done again";
    EXPECT_EQ(office_.ask(lead_, method, target, other.dump(), key).status, 409);
    EXPECT_EQ(changes(), after_first);
  }

  Office office_;
  Browser lead_;
  int keys_ = 0;
};

TEST_F(OnceTest, ACorrection) {
  expect_once(Method::put, "/api/records/room/1?revision=1", {{"site", 1}, {"name", "Room A"}},
              {{"site", 1}, {"name", "Room B"}});
}

TEST_F(OnceTest, WhatAPersonMayDo) {
  const json now{{"name", "ana"}, {"role", "clinician"}, {"site", 1}, {"active", true}, {"everywhere", false}};
  json other = now;
  other["role"] = "viewer";
  expect_once(Method::put, "/api/people/2?revision=1", now, other);
}

TEST_F(OnceTest, APersonIsAddedOnceAndTheNewestCodeServes) {
  const std::vector<service::Header> key{{"idempotency-key", "key-of-a-new-person"}};
  json jon{{"name", "Jon"}, {"role", "viewer"}, {"site", 1}, {"everywhere", false}, {"sign_in_name", "jon"}};
  const Told first = office_.post(lead_, "/api/people", jon, key);
  ASSERT_EQ(first.status, 201) << first.text;
  const std::uint64_t after_first = changes();
  const Told again = office_.post(lead_, "/api/people", jon, key);
  ASSERT_EQ(again.status, 201) << again.text;
  EXPECT_EQ(again.body["person"], first.body["person"]);
  EXPECT_EQ(again.body["account"], first.body["account"]);
  EXPECT_EQ(changes(), after_first) << "it was done again";
  EXPECT_NE(again.body["code"], first.body["code"]) << "a code is kept nowhere, so it cannot be told again";
  const auto join = [&](const Told& told) {
    return office_.post({}, "/api/door/join", {{"code", told.body.value("code", "")}, {"password", Office::kPassword}})
        .status;
  };
  EXPECT_EQ(join(first), 422);
  EXPECT_EQ(join(again), 200);
  EXPECT_EQ(office_.post(lead_, "/api/people", jon, key).status, 409) << "Jon has come in";
  jon["role"] = "assistant";
  EXPECT_EQ(office_.post(lead_, "/api/people", jon, key).status, 409) << "another request";
}

TEST_F(OnceTest, ANewCodeThatIsSentAgainLateLeavesWhoCameInAlone) {
  const std::vector<service::Header> key{{"idempotency-key", "key-of-a-new-code"}};
  const auto new_code = [&] { return office_.post(lead_, "/api/people/2/code", json::object(), key); };
  ASSERT_EQ(new_code().status, 201);
  const Told told = new_code();
  ASSERT_EQ(told.status, 201) << told.text;
  const Told joined =
      office_.post({}, "/api/door/join", {{"code", told.body.value("code", "")}, {"password", "quite another one"}});
  ASSERT_EQ(joined.status, 200) << joined.text;
  EXPECT_EQ(new_code().status, 409);
  EXPECT_EQ(office_.get(Office::signed_in(joined), "/api/session").status, 200);
}

TEST_F(OnceTest, NoCodeIsGivenAgainOfSomebodyWhoHasBecomeMoreThanWhoAdds) {
  const Browser local = office_.join(lead_, "lia", "lead");
  const std::vector<service::Header> key{{"idempotency-key", "key-of-a-new-person"}};
  const json jon{{"name", "Jon"}, {"role", "viewer"}, {"site", 1}, {"everywhere", false}, {"sign_in_name", "jon"}};
  const Told added = office_.post(local, "/api/people", jon, key);
  ASSERT_EQ(added.status, 201) << added.text;
  const json raised{{"name", "Jon"}, {"role", "lead"}, {"site", 1}, {"active", true}, {"everywhere", true}};
  const std::string at = "/api/people/" + std::to_string(added.body.value("person", 0)) + "?revision=1";
  ASSERT_EQ(office_.put(lead_, at, raised).status, 200);
  EXPECT_EQ(office_.post(local, "/api/people", jon, key).status, 403);
  const Told joined =
      office_.post({}, "/api/door/join", {{"code", added.body.value("code", "")}, {"password", "quite another one"}});
  EXPECT_EQ(joined.status, 200) << "Jon's own code serves still";
}

TEST_F(OnceTest, NoCodeIsKeptWithItsKey) {
  const std::vector<service::Header> key{{"idempotency-key", "key-of-a-new-person"}};
  const json jon{{"name", "Jon"}, {"role", "viewer"}, {"site", 1}, {"everywhere", false}, {"sign_in_name", "jon"}};
  const std::string code = office_.post(lead_, "/api/people", jon, key).body.value("code", "");
  ASSERT_NE(code, "");
  store::Session records(store::InFile{office_.folder() / "records.db"});
  for (const store::Values& row : records.ask("SELECT reply FROM answer", {}, {base::ValueType::kText})) {
    EXPECT_THAT(std::get<std::string>(row[0]), testing::Not(testing::HasSubstr(code)));
  }
}

TEST_F(OnceTest, AValueThatThePracticeChooses) {
  expect_once(Method::put, "/api/policy/alert_share?revision=0", {{"number", 0.95}, {"source", "chosen here"}},
              {{"number", 0.85}, {"source", "chosen here"}});
}

TEST_F(OnceTest, ActsOnALight) {
  expect_once(Method::post, "/api/fleet/2/refuse", {{"because", "no papers"}}, {{"because", "no bill"}});
  expect_once(Method::post, "/api/fleet/1/withdraw", {{"because", "dropped"}}, {{"because", "lost"}});
}

TEST_F(OnceTest, ActsOnALookBack) {
  const Told opened = office_.post(lead_, "/api/look-backs", {{"light", 1}, {"note", "dropped"}});
  const std::string at = "/api/look-backs/" + std::to_string(opened.body.value("id", 0));
  const json other{{"other", true}};
  expect_once(Method::post, at + "/close", json::object(), other);
  expect_once(Method::post, at + "/reopen", json::object(), other);
}

}  // namespace
}  // namespace throughcure::tests
