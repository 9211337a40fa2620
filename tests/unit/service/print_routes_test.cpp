// What a practice prints, over HTTP, read back by other programs (poppler, zbar). No other outside source: our own
// contract.
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/read_print.hpp"
#include "throughcure/desk/demo_practice.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

class PrintTest : public testing::Test {
 protected:
  PrintTest() {
    const practice::Member lead = desk::demo_practice(office_.records(), office_.now);
    lead_ = Office::signed_in(office_.get({}, "/sign-in/" + office_.invite(lead)));
    lead_.token = office_.get(lead_, "/api/session").body.value("page_token", "");
  }

  Office office_;
  Browser lead_;
};

TEST_F(PrintTest, EveryLabelLeadsAPhoneToTheCheckOfItsLight) {
  const Told told = office_.get(lead_, "/api/labels.pdf");
  ASSERT_EQ(told.status, 200) << told.text;
  EXPECT_THAT(told.all("content-type"), ElementsAre("application/pdf"));
  EXPECT_THAT(told.all("content-disposition"), ElementsAre("inline; filename=\"labels.pdf\""));
  std::multiset<std::string> expected;
  for (int light = 1; light <= 5; ++light) {
    expected.insert("http://127.0.0.1:8420/check?light=" + std::to_string(light));
  }
  // As coarse as a poor printer, and finer.
  for (const int dots_per_inch : {150, 300}) EXPECT_EQ(squares_on(grey_page(told.text, 1, dots_per_inch)), expected);
  const std::string words = words_in_a_row(told.text);
  for (const char* one : {"Lamp 4", "serial K-1101", "Room 3, Harbour street", "Print at actual size",
                          "http://127.0.0.1:8420/check?light=4"}) {
    EXPECT_THAT(words, HasSubstr(one));
  }
  EXPECT_THAT(facts_of(told.text), HasSubstr("(A4)"));
}

TEST_F(PrintTest, LabelsAreOfTheLightsThatWereNamed) {
  const Told told = office_.get(lead_, "/api/labels.pdf?lights=2,5,2");
  EXPECT_EQ(squares_on(grey_page(told.text, 1, 200)),
            (std::multiset<std::string>{"http://127.0.0.1:8420/check?light=2", "http://127.0.0.1:8420/check?light=2",
                                        "http://127.0.0.1:8420/check?light=5"}));
  EXPECT_EQ(office_.get(lead_, "/api/labels.pdf?lights=77").status, 404);
  for (const char* wrong : {"1;2", "one", "0", "-1", "1,,2"}) {
    EXPECT_EQ(office_.get(lead_, std::string("/api/labels.pdf?lights=") + wrong).status, 422) << wrong;
  }
  std::string many = "1";
  for (int i = 0; i < 1000; ++i) many += ",1";
  EXPECT_EQ(office_.get(lead_, "/api/labels.pdf?lights=" + many).status, 422);
}

TEST_F(PrintTest, LabelsSayThatNoPhoneReachesTheMachineItself) {
  EXPECT_THAT(words_in_a_row(office_.get(lead_, "/api/labels.pdf").text),
              HasSubstr("No phone reaches http://127.0.0.1:8420"));
}

TEST_F(PrintTest, LabelsAreOfOnesOwnSiteAndForWhoTakesChecks) {
  const Told site = office_.post(lead_, "/api/records/site", {{"name", "Hill road"}, {"time_zone", "Europe/Lisbon"}});
  const Browser other = office_.join(lead_, "lia", "assistant", site.body.value("id", std::int64_t{0}));
  EXPECT_EQ(office_.get(other, "/api/labels.pdf?lights=1").status, 404);
  EXPECT_EQ(office_.get(other, "/api/labels.pdf").status, 404) << "there is none yet";
  EXPECT_EQ(office_.get(office_.join(lead_, "ana", "assistant"), "/api/labels.pdf").status, 200);
  EXPECT_EQ(office_.get(office_.join(lead_, "vera", "viewer"), "/api/labels.pdf").status, 403);
  EXPECT_EQ(office_.get({}, "/api/labels.pdf").status, 401);
}

TEST_F(PrintTest, TheSameRecordsAtTheSameInstantAreTheSameBytes) {
  EXPECT_EQ(office_.get(lead_, "/api/labels.pdf").text, office_.get(lead_, "/api/labels.pdf").text);
  EXPECT_THAT(facts_of(office_.get(lead_, "/api/labels.pdf").text), HasSubstr("Mon Jan  5 08:00:00 2026"));
}

TEST_F(PrintTest, ThePrintsAreDescribed) {
  const nlohmann::json paths = office_.get({}, "/api/openapi.json").body["paths"];
  EXPECT_TRUE(paths["/api/labels.pdf"]["get"]["responses"]["2XX"]["content"].contains("application/pdf"));
}

}  // namespace
}  // namespace throughcure::tests
