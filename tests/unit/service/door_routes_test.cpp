// Coming in, as a browser does it. No outside source: this is our own contract, but for the limits of tries (NIST SP
// 800-63B, tested with attempts).
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/store/session.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using service::Method;
using std::chrono::hours;
using std::chrono::minutes;
using testing::HasSubstr;

class DoorTest : public testing::Test {
 protected:
  Told sign_in(const std::string& name, const std::string& password, bool shared = false) {
    return office_.post({}, "/api/door/sign-in", {{"sign_in_name", name}, {"password", password}, {"shared", shared}});
  }
  Office office_;
};

TEST_F(DoorTest, TheFirstStartMakesTheLeadByTheCodeOfTheTerminal) {
  EXPECT_EQ(office_.get({}, "/api/door").body.value("begun", true), false);
  nlohmann::json beginning{{"code", "0123456789ab"},
                           {"name", "Marta Vint"},
                           {"sign_in_name", "Marta"},
                           {"password", Office::kPassword},
                           {"site", {{"name", "Harbour street"}, {"time_zone", "Europe/Lisbon"}}}};
  EXPECT_EQ(office_.post({}, "/api/door/begin", beginning).status, 422) << "a guessed code";
  beginning["code"] = office_.first_code();
  beginning["site"]["time_zone"] = "Europe/Nowhere";
  beginning["password"] = "short";
  const Told wrong = office_.post({}, "/api/door/begin", beginning);
  EXPECT_EQ(wrong.status, 422);
  EXPECT_EQ(wrong.body["problems"].size(), 2U) << wrong.body.dump();
  EXPECT_EQ(office_.get({}, "/api/door").body.value("begun", true), false) << "nothing was kept of it";
  const Browser lead = office_.begin();
  EXPECT_EQ(office_.get({}, "/api/door").body.value("begun", false), true);
  const Told session = office_.get(lead, "/api/session");
  EXPECT_EQ(session.body["person"]["role"], "lead");
  EXPECT_EQ(session.body["person"]["everywhere"], true);
  beginning["site"]["time_zone"] = "Europe/Lisbon";
  beginning["password"] = Office::kPassword;
  beginning["sign_in_name"] = "another";
  EXPECT_EQ(office_.post({}, "/api/door/begin", beginning).status, 422) << "it begins once";
}

TEST_F(DoorTest, TheCodeOfTheTerminalCannotBeGuessedAtWill) {
  const nlohmann::json beginning{{"code", "0123456789ab"},
                                 {"name", "M"},
                                 {"sign_in_name", "mm"},
                                 {"password", Office::kPassword},
                                 {"site", {{"name", "H"}, {"time_zone", "Europe/Lisbon"}}}};
  int tries = 0;
  Told told = office_.post({}, "/api/door/begin", beginning);
  while (told.status == 422 && ++tries < 20) told = office_.post({}, "/api/door/begin", beginning);
  EXPECT_EQ(told.status, 429);
  EXPECT_LE(tries, 5);
}

TEST_F(DoorTest, APasswordSignsIn) {
  office_.begin();
  EXPECT_EQ(sign_in("marta", "not that one at all").status, 403);
  EXPECT_EQ(sign_in("nobody", Office::kPassword).status, 403);
  EXPECT_EQ(sign_in("marta", "not that one at all").body, sign_in("nobody", "x").body)
      << "an answer tells nothing of which names there are";
  const Told told = sign_in(" MARTA ", Office::kPassword);
  ASSERT_EQ(told.status, 200);
  bool strict = false;
  for (const auto& header : told.headers) {
    if (header.name == "set-cookie") strict = header.value.find("HttpOnly; SameSite=Strict") != std::string::npos;
  }
  EXPECT_TRUE(strict);
  EXPECT_EQ(office_.get(Office::signed_in(told), "/api/session").status, 200);
}

TEST_F(DoorTest, WrongPasswordsMakeOneWaitAndARightOneEndsIt) {
  office_.begin();
  int tries = 0;
  Told told = sign_in("marta", "wrong");
  while (told.status == 403 && ++tries < 20) told = sign_in("marta", "wrong");
  EXPECT_EQ(tries, 5);
  EXPECT_EQ(told.status, 429);
  EXPECT_EQ(sign_in("marta", Office::kPassword).status, 429) << "the right one waits too";
  office_.now += minutes(1);
  EXPECT_EQ(sign_in("marta", Office::kPassword).status, 200);
}

TEST_F(DoorTest, ASessionOutlivesTheProgramAndEndsWhenItShould) {
  const Browser lead = office_.begin();
  office_.open();
  EXPECT_EQ(office_.get(lead, "/api/session").status, 200);
  EXPECT_EQ(office_.get(lead, "/api/session").body["page_token"], lead.token);
  EXPECT_EQ(office_.ask(lead, Method::del, "/api/session").status, 204);
  EXPECT_EQ(office_.get(lead, "/api/session").status, 401);
  office_.open();
  EXPECT_EQ(office_.get(lead, "/api/session").status, 401) << "signed out for good";
  const Browser again = Office::signed_in(sign_in("marta", Office::kPassword));
  office_.now += hours(12);
  EXPECT_EQ(office_.get(again, "/api/session").status, 401);
}

TEST_F(DoorTest, WhoSignsOutWhileTheRecordsFailIsOutAndToldSo) {
  const Browser lead = office_.begin();
  // As when the disk is full or the server is down: what ends a sign-in cannot be written.
  store::Session(store::InFile{office_.folder() / "records.db"}).run("ALTER TABLE sign_in RENAME TO gone");
  const Told told = office_.ask(lead, Method::del, "/api/session");
  EXPECT_EQ(told.status, 503);
  EXPECT_THAT(told.body.value("sentence", ""), HasSubstr("You are signed out here, but"));
  EXPECT_THAT(told.all("set-cookie"), testing::ElementsAre(HasSubstr("Max-Age=0")));
  EXPECT_THAT(office_.logged, HasSubstr("sign_in"));
  EXPECT_EQ(office_.get(lead, "/api/session").status, 401);
  EXPECT_EQ(office_.get({}, "/api/door").status, 200) << "the program serves on";
}

TEST_F(DoorTest, WhoIsToldThatTheyAreOutIsOutForGood) {
  const Browser lead = office_.begin();
  EXPECT_EQ(office_.ask(lead, Method::del, "/api/session").status, 204);
  office_.records().read([](const store::Reader& reader) { EXPECT_TRUE(reader.sign_ins().empty()); });
}

TEST_F(DoorTest, ACodeServesOnceAndForAWeek) {
  const Browser lead = office_.begin();
  const nlohmann::json ana{
      {"name", "Ana"}, {"role", "assistant"}, {"site", 1}, {"everywhere", false}, {"sign_in_name", "ana"}};
  const Told added = office_.post(lead, "/api/people", ana);
  ASSERT_EQ(added.status, 201) << added.body.dump();
  EXPECT_EQ(office_.post(lead, "/api/people", ana).status, 422) << "the name is taken";
  const std::string code = added.body["code"];
  EXPECT_EQ(sign_in("ana", "").status, 403) << "nobody signs in before the code was used";
  const auto join = [&](const std::string& with) {
    return office_.post({}, "/api/door/join", {{"code", with}, {"password", "another long one"}}).status;
  };
  EXPECT_EQ(join(code.substr(0, code.size() - 1) + (code.back() == '0' ? "1" : "0")), 422);
  std::string typed = code;
  for (char& c : typed) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  EXPECT_EQ(join(" " + typed + " "), 200) << "small letters and blanks are how people type";
  EXPECT_EQ(join(code), 422) << "once";
  const Browser own = Office::signed_in(sign_in("ana", "another long one"));
  EXPECT_EQ(own.session["person"]["role"], "assistant");

  const Told again = office_.post(lead, "/api/people/2/code", nlohmann::json::object());
  ASSERT_EQ(again.status, 201) << again.body.dump();
  EXPECT_EQ(office_.get(own, "/api/session").status, 401) << "a new code ends what was open";
  EXPECT_EQ(sign_in("ana", "another long one").status, 403);
  office_.now += hours(7 * 24);
  EXPECT_EQ(join(again.body["code"]), 422) << "a week";
}

TEST_F(DoorTest, WhoeverTriesCodesKeepsNobodyElseWaiting) {
  office_.from = "10.0.0.66";
  const nlohmann::json guess{{"code", "0123456789ab"},
                             {"name", "M"},
                             {"sign_in_name", "mm"},
                             {"password", Office::kPassword},
                             {"site", {{"name", "H"}, {"time_zone", "Europe/Lisbon"}}}};
  for (int i = 0; i < 6; ++i) office_.post({}, "/api/door/begin", guess);
  EXPECT_EQ(office_.post({}, "/api/door/begin", guess).status, 429);
  office_.from = "127.0.0.1";
  const Browser lead = office_.begin();
  const auto join = [&](const std::string& code) {
    return office_.post({}, "/api/door/join", {{"code", code}, {"password", "another long one"}}).status;
  };
  const auto add = [&](const std::string& name) {
    const Told told = office_.post(
        lead, "/api/people",
        {{"name", name}, {"role", "assistant"}, {"site", 1}, {"everywhere", false}, {"sign_in_name", name}});
    return told.body.value("code", "");
  };
  const std::string of_ana = add("ana");
  const std::string of_jon = add("jon");
  // From many machines, so that it is not their addresses that wait.
  for (int i = 0; i < 12; ++i) {
    office_.from = "10.0.1." + std::to_string(i);
    join("3-0000-0000-0000-0000");
    join("no code at all");
  }
  office_.from = "127.0.0.1";
  EXPECT_EQ(join("3-0000-0000-0000-0000"), 429);
  EXPECT_EQ(join(of_ana), 200) << "tries of a code of jon's";
  EXPECT_EQ(join(of_jon), 429);
  const Told again = office_.post(lead, "/api/people/3/code", nlohmann::json::object());
  EXPECT_EQ(join(again.body.value("code", "")), 200) << "the lead has opened it again";
}

TEST_F(DoorTest, ANewCodeOpensWhatWrongTriesClosed) {
  const Browser lead = office_.begin();
  office_.join(lead, "ana", "assistant");
  Told told;
  for (int i = 0; i < 100; ++i) {
    office_.now += std::chrono::minutes(16);
    told = office_.post({}, "/api/door/sign-in", {{"sign_in_name", "ana"}, {"password", "wrong"}, {"shared", false}});
  }
  office_.now += std::chrono::minutes(16);
  told = sign_in("ana", Office::kPassword);
  EXPECT_EQ(told.status, 403);
  EXPECT_THAT(told.body.value("sentence", ""), HasSubstr("until the lead gives a new code"));
  const Browser again = Office::signed_in(sign_in("marta", Office::kPassword));
  const Told code = office_.post(again, "/api/people/2/code", nlohmann::json::object());
  ASSERT_EQ(code.status, 201) << code.text;
  EXPECT_EQ(
      office_.post({}, "/api/door/join", {{"code", code.body.value("code", "")}, {"password", "another long one"}})
          .status,
      200);
  EXPECT_EQ(sign_in("ana", "another long one").status, 200);
}

TEST_F(DoorTest, APasswordOfNamesThatOthersKnowIsNotChosen) {
  const Browser lead = office_.begin();
  const Told added = office_.post(
      lead, "/api/people",
      {{"name", "Ana Brill"}, {"role", "assistant"}, {"site", 1}, {"everywhere", false}, {"sign_in_name", "ab"}});
  for (const char* known : {"AnaBrill1994", "harbourstreet7"}) {
    const Told told = office_.post({}, "/api/door/join", {{"code", added.body.value("code", "")}, {"password", known}});
    EXPECT_EQ(told.status, 422) << known;
    EXPECT_EQ(told.body["problems"].at(0).value("field", ""), "password") << told.body.dump();
    const Told changed =
        office_.post(lead, "/api/session/password", {{"old", Office::kPassword}, {"new", "Marta-Harbour-2"}});
    EXPECT_EQ(changed.status, 422);
    EXPECT_EQ(changed.body["problems"].at(0).value("field", ""), "new") << changed.body.dump();
  }
  EXPECT_EQ(sign_in("marta", Office::kPassword).status, 200) << "the code and the password serve as before";
}

TEST_F(DoorTest, PinsServeOnADeviceThatStaysInARoomWhileASignInIsFresh) {
  const Browser lead = office_.begin();
  const Browser ana = office_.join(lead, "ana", "assistant");
  EXPECT_EQ(office_.post(ana, "/api/session/pin", {{"password", "wrong"}, {"pin", "274951"}}).status, 422);
  EXPECT_EQ(office_.post(ana, "/api/session/pin", {{"password", Office::kPassword}, {"pin", "123456"}}).status, 422);
  EXPECT_EQ(office_.post(ana, "/api/session/pin", {{"password", Office::kPassword}, {"pin", "274951"}}).status, 204);
  EXPECT_EQ(office_.post(lead, "/api/session/switch", {{"account", 2}, {"pin", "274951"}}).status, 403)
      << "a device of one's own";
  const Browser room = Office::signed_in(sign_in("marta", Office::kPassword, true));
  EXPECT_EQ(office_.get(room, "/api/session/people").body["people"].size(), 1U) << "those who have a PIN";
  EXPECT_EQ(office_.post(room, "/api/session/switch", {{"account", 2}, {"pin", "274950"}}).status, 422);
  EXPECT_EQ(office_.post(room, "/api/session/switch", {{"account", 1}, {"pin", "274951"}}).status, 422);
  const Told changed = office_.post(room, "/api/session/switch", {{"account", 2}, {"pin", "274951"}});
  ASSERT_EQ(changed.status, 200) << changed.body.dump();
  const Browser by_pin = Office::signed_in(changed);
  EXPECT_EQ(by_pin.session["person"]["name"], "ana");
  EXPECT_EQ(by_pin.session["by_pin"], true);
  EXPECT_EQ(office_.get(room, "/api/session").status, 401) << "the one before is signed out";
  office_.now += hours(12);
  EXPECT_EQ(office_.post(by_pin, "/api/session/switch", {{"account", 2}, {"pin", "274951"}}).status, 401);
}

/// Ana has signed in fully on a room's device, and people have changed over there by PIN since.
class ChainTest : public DoorTest {
 protected:
  ChainTest() : lead_(office_.begin()), ana_(office_.join(lead_, "ana", "assistant")) {
    jon_ = with_pin("jon");
    with_pin("eva");
    const Browser room = Office::signed_in(sign_in("ana", Office::kPassword, true));
    by_jon_ = changed_over(room, 3);
    by_eva_ = changed_over(by_jon_, 4);
  }

  Browser with_pin(const std::string& name) {
    const Browser browser = office_.join(lead_, name, "assistant");
    EXPECT_EQ(office_.post(browser, "/api/session/pin", {{"password", Office::kPassword}, {"pin", kPin}}).status, 204);
    return browser;
  }
  Browser changed_over(const Browser& from, int account) {
    const Told told = office_.post(from, "/api/session/switch", {{"account", account}, {"pin", kPin}});
    EXPECT_EQ(told.status, 200) << told.text;
    return Office::signed_in(told);
  }
  bool is_in(const Browser& browser) { return office_.get(browser, "/api/session").status == 200; }

  /// Ana's full sign-in is gone, and with it whoever is signed in on it; nobody else.
  void expect_ended() {
    for (const char* when : {"at once", "after the program was started again"}) {
      EXPECT_FALSE(is_in(by_eva_)) << when;
      EXPECT_EQ(office_.post(by_eva_, "/api/session/switch", {{"account", 3}, {"pin", kPin}}).status, 401) << when;
      EXPECT_TRUE(is_in(jon_)) << when;
      office_.open();
    }
  }

  static constexpr const char* kPin = "274951";
  Browser lead_;
  Browser ana_;
  Browser jon_;
  Browser by_jon_;
  Browser by_eva_;
};

TEST_F(ChainTest, LastsWhileTheFullSignInDoes) {
  EXPECT_TRUE(is_in(by_eva_));
  EXPECT_FALSE(is_in(by_jon_)) << "the one before is signed out";
  office_.open();
  EXPECT_TRUE(is_in(by_eva_));
  EXPECT_EQ(office_.post(lead_, "/api/people/3/code", nlohmann::json::object()).status, 201);
  EXPECT_TRUE(is_in(by_eva_)) << "it does not rest on who was there between";
}

TEST_F(ChainTest, EndsWhenTheLeadGivesANewCode) {
  const Browser other = changed_over(Office::signed_in(sign_in("marta", Office::kPassword, true)), 3);
  EXPECT_EQ(office_.post(lead_, "/api/people/2/code", nlohmann::json::object()).status, 201);
  expect_ended();
  EXPECT_TRUE(is_in(other)) << "it rests on Marta";
}

TEST_F(ChainTest, EndsWhenWhoSignedInLeaves) {
  const nlohmann::json left{
      {"name", "ana"}, {"role", "assistant"}, {"site", 1}, {"active", false}, {"everywhere", false}};
  EXPECT_EQ(office_.put(lead_, "/api/people/2?revision=1", left).status, 200);
  expect_ended();
}

TEST_F(ChainTest, EndsWithANewPassword) {
  const Told told =
      office_.post(ana_, "/api/session/password", {{"old", Office::kPassword}, {"new", "quite another one"}});
  ASSERT_EQ(told.status, 200) << told.text;
  expect_ended();
  EXPECT_TRUE(is_in(Office::signed_in(told)));
}

TEST_F(ChainTest, NobodyChangesOverOnASignInThatEndedMeanwhile) {
  // As when it ends in the records while the PIN is looked at.
  office_.records().write({"program", office_.now}, [](store::Writer& writer) { writer.end_sign_ins_of({2}); });
  const Told told = office_.post(by_eva_, "/api/session/switch", {{"account", 3}, {"pin", kPin}});
  EXPECT_EQ(told.status, 403);
  EXPECT_THAT(told.body.value("sentence", ""), HasSubstr("signed out meanwhile"));
  EXPECT_THAT(told.all("set-cookie"), testing::IsEmpty());
}

TEST_F(DoorTest, ALeadByPinChangesNobodysRights) {
  const Browser lead = office_.begin();
  office_.post(lead, "/api/session/pin", {{"password", Office::kPassword}, {"pin", "274951"}});
  const Browser room = Office::signed_in(sign_in("marta", Office::kPassword, true));
  const Browser by_pin =
      Office::signed_in(office_.post(room, "/api/session/switch", {{"account", 1}, {"pin", "274951"}}));
  const nlohmann::json ana{
      {"name", "Ana"}, {"role", "assistant"}, {"site", 1}, {"everywhere", false}, {"sign_in_name", "ana"}};
  const Told told = office_.post(by_pin, "/api/people", ana);
  EXPECT_EQ(told.status, 403);
  EXPECT_THAT(told.body.value("sentence", ""), HasSubstr("password"));
}

TEST_F(DoorTest, ANewPasswordEndsTheOtherSignIns) {
  const Browser lead = office_.begin();
  const Browser other = Office::signed_in(sign_in("marta", Office::kPassword));
  EXPECT_EQ(office_.post(lead, "/api/session/password", {{"old", "wrong"}, {"new", "quite another one"}}).status, 422);
  EXPECT_EQ(office_.post(lead, "/api/session/password", {{"old", Office::kPassword}, {"new", "marta"}}).status, 422);
  const Told told =
      office_.post(lead, "/api/session/password", {{"old", Office::kPassword}, {"new", "quite another one"}});
  ASSERT_EQ(told.status, 200) << told.body.dump();
  EXPECT_EQ(office_.get(Office::signed_in(told), "/api/session").status, 200);
  EXPECT_EQ(office_.get(other, "/api/session").status, 401);
  EXPECT_EQ(office_.get(lead, "/api/session").status, 401);
  EXPECT_EQ(sign_in("marta", Office::kPassword).status, 403);
  EXPECT_EQ(sign_in("marta", "quite another one").status, 200);
}

TEST_F(DoorTest, WhoLeftIsOutAtOnceAndOneLeadStays) {
  const Browser lead = office_.begin();
  const Browser ana = office_.join(lead, "ana", "assistant");
  nlohmann::json changed{{"name", "ana"}, {"role", "assistant"}, {"site", 1}, {"active", false}, {"everywhere", false}};
  EXPECT_EQ(office_.put(lead, "/api/people/2?revision=9", changed).status, 409) << "somebody else changed it";
  EXPECT_EQ(office_.put(lead, "/api/people/2?revision=1", changed).status, 200);
  EXPECT_EQ(office_.get(ana, "/api/session").status, 401);
  EXPECT_EQ(sign_in("ana", Office::kPassword).status, 403);
  const Browser jon = office_.join(lead, "jon", "viewer");
  changed = {{"name", "jon"}, {"role", "clinician"}, {"site", 1}, {"active", true}, {"everywhere", false}};
  EXPECT_EQ(office_.put(lead, "/api/people/3?revision=1", changed).status, 200);
  EXPECT_EQ(office_.get(jon, "/api/session").body["person"]["role"], "clinician") << "a new role holds at once";
  changed = {{"name", "Marta Vint"}, {"role", "viewer"}, {"site", 1}, {"active", true}, {"everywhere", true}};
  EXPECT_EQ(office_.put(lead, "/api/people/1?revision=1", changed).status, 422) << "nobody would lead";
}

TEST_F(DoorTest, NoSecretAndNoNameStandsInTheLog) {
  const Browser lead = office_.begin();
  office_.join(lead, "ana", "assistant");
  std::string all;
  office_.records().read([&](const store::Reader& reader) {
    for (const practice::Change& change : reader.changes(1, 1000)) all += practice::leaf_bytes(change);
  });
  for (const char* word : {Office::kPassword, "argon2", "marta", "Marta Vint", "ana"}) {
    EXPECT_EQ(all.find(word), std::string::npos) << word;
  }
  EXPECT_EQ(office_.logged, "");
}

}  // namespace
}  // namespace throughcure::tests
