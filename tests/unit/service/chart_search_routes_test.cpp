// Restorations by chart number: who may look, what is found, and that the number appears nowhere else. No outside
// source: this is our own contract. Everything here is invented.
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/desk/chart_search.hpp"
#include "throughcure/fleet/equipment.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/practice/restoration.hpp"
#include "throughcure/store/session.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using nlohmann::json;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

constexpr const char* kAt = "/api/restoration-search";
constexpr const char* kChart = "ZQ-88417";

class ChartSearchTest : public testing::Test {
 protected:
  ChartSearchTest() : lead_(office_.begin()) {
    office_.records().write({"1", office_.now}, [&](store::Writer& w) {
      const base::SiteId other = w.add(practice::Site{"Hill road", "Europe/Lisbon"});
      for (const base::SiteId site : {base::SiteId{1}, other}) {
        const base::RoomId room = w.add(practice::Room{site, "Room", {}, {}});
        const base::LightId light = w.add(fleet::LightEntry{.room = room,
                                                            .name = "Lamp",
                                                            .serial = "K",
                                                            .claimed_mw_cm2 = {},
                                                            .approval_number = {},
                                                            .approved_by = {},
                                                            .bought_in = {},
                                                            .warranty_until = {},
                                                            .accepted_at = {},
                                                            .withdrawn_at = {}});
        w.add(fleet::TipEntry{light, "straight", 8});
      }
      place(w, kChart, "36", 1, 0);
      place(w, "ZQ-88418", "36", 1, 1);
      place(w, kChart, "46", 1, 2);
      place(w, kChart, "36", 2, 3);
    });
  }

  void place(store::Writer& w, const std::string& chart, const std::string& tooth, std::int64_t light, int days) {
    w.add(practice::Restoration{.chart = chart,
                                .tooth = tooth,
                                .surfaces = "DO",
                                .placed_at = office_.now + std::chrono::hours(24 * days),
                                .placed_by = {1},
                                .light = {light},
                                .tip = {light},
                                .material = "paste",
                                .lot = "",
                                .barrier_pass = {},
                                .resolved_case = {},
                                .probability = {},
                                .seed = {},
                                .engine = {},
                                .note = {}});
  }
  std::string day(int days) const { return base::instant_text(office_.now + std::chrono::hours(24 * days)); }
  std::vector<int> found(const Browser& browser, const json& wanted) {
    const Told told = office_.post(browser, kAt, wanted);
    EXPECT_EQ(told.status, 200) << told.text;
    std::vector<int> ids;
    for (const json& one : told.body["restorations"]) ids.push_back(one["id"].get<int>());
    return ids;
  }

  Office office_;
  Browser lead_;
};

TEST_F(ChartSearchTest, FindsTheWholeNumberTheNewestFirst) {
  EXPECT_THAT(found(lead_, {{"chart", kChart}}), ElementsAre(4, 3, 1)) << "the lead is everywhere";
  EXPECT_THAT(found(lead_, {{"chart", std::string(" ") + kChart + "\n"}}), ElementsAre(4, 3, 1));
  EXPECT_THAT(found(lead_, {{"chart", "ZQ-8841"}}), testing::IsEmpty()) << "no beginnings of numbers";
  EXPECT_THAT(found(lead_, {{"chart", kChart}, {"tooth", "46"}}), ElementsAre(3));
  EXPECT_THAT(found(lead_, {{"chart", kChart}, {"from", day(2)}}), ElementsAre(4, 3));
  EXPECT_THAT(found(lead_, {{"chart", kChart}, {"from", day(0)}, {"to", day(2)}}), ElementsAre(1));
  const json one = office_.post(lead_, kAt, {{"chart", kChart}, {"tooth", "46"}}).body["restorations"].at(0);
  EXPECT_EQ(one["surfaces"], "DO");
  EXPECT_EQ(one["placed_at"], day(2));
  EXPECT_TRUE(one["probability"].is_null());
}

TEST_F(ChartSearchTest, IsForWhoMaySeeRestorationsOfTheirOwnSite) {
  EXPECT_EQ(office_.post(office_.join(lead_, "vera", "viewer"), kAt, {{"chart", kChart}}).status, 403);
  EXPECT_EQ(office_.post({}, kAt, {{"chart", kChart}}).status, 401);
  EXPECT_THAT(found(office_.join(lead_, "ana", "assistant"), {{"chart", kChart}}), ElementsAre(3, 1));
  EXPECT_THAT(found(office_.join(lead_, "jon", "clinician", 2), {{"chart", kChart}}), ElementsAre(4));
}

TEST_F(ChartSearchTest, VeryManyAreCutShort) {
  office_.records().write({"1", office_.now}, [&](store::Writer& w) {
    for (std::size_t i = 0; i < desk::kMostFound; ++i) place(w, "1", "11", 1, 0);
  });
  EXPECT_EQ(office_.post(lead_, kAt, {{"chart", "1"}}).body["more"], false);
  office_.records().write({"1", office_.now}, [&](store::Writer& w) { place(w, "1", "11", 1, 0); });
  const Told told = office_.post(lead_, kAt, {{"chart", "1"}});
  EXPECT_EQ(told.body["restorations"].size(), desk::kMostFound);
  EXPECT_EQ(told.body["more"], true);
}

TEST_F(ChartSearchTest, TheNumberStandsInNoAnswerNoAddressAndNoLog) {
  EXPECT_THAT(office_.post(lead_, kAt, {{"chart", kChart}}).text, Not(HasSubstr("88417")));
  // In an address it finds nothing, whatever is tried, and no refusal says it again.
  for (const std::string& target :
       {std::string("/api/records/restoration?chart=ZQ-88417"), std::string("/api/restoration-search?chart=ZQ-88417"),
        std::string("/api/records/restoration?order=chart")}) {
    const Told told = office_.get(lead_, target);
    EXPECT_GE(told.status, 400) << target;
    EXPECT_THAT(told.text, Not(HasSubstr("88417"))) << target;
  }
  const Told wrong = office_.post(lead_, kAt, {{"chart", kChart}, {"from", "ZQ-88417"}, {"patient", kChart}});
  EXPECT_EQ(wrong.status, 422);
  EXPECT_THAT(wrong.text, Not(HasSubstr("88417")));
  EXPECT_EQ(office_.post(lead_, kAt, {{"chart", "  "}}).body["problems"].at(0)["field"], "chart");
  EXPECT_EQ(office_.post(lead_, kAt, json::object()).status, 422);
  EXPECT_THAT(office_.logged, Not(HasSubstr("88417")));
  // A database that fails is told and written down without it.
  store::Session(store::InFile{office_.folder() / "records.db"}).run("DROP TABLE restoration");
  const Told failed = office_.post(lead_, kAt, {{"chart", kChart}});
  EXPECT_EQ(failed.status, 503);
  EXPECT_THAT(failed.text, Not(HasSubstr("88417")));
  EXPECT_THAT(office_.logged, HasSubstr("restoration"));
  EXPECT_THAT(office_.logged, Not(HasSubstr("88417")));
}

TEST_F(ChartSearchTest, NobodyTriesNumbersAtWill) {
  const Browser jon = office_.join(lead_, "jon", "clinician");
  for (int i = 0; i < 30; ++i) EXPECT_EQ(office_.post(jon, kAt, {{"chart", std::to_string(i)}}).status, 200) << i;
  const Told told = office_.post(jon, kAt, {{"chart", kChart}});
  EXPECT_EQ(told.status, 429);
  EXPECT_THAT(told.all("retry-after"), ElementsAre("10"));
  EXPECT_EQ(office_.post(lead_, kAt, {{"chart", kChart}}).status, 200) << "nobody else waits";
  office_.now += std::chrono::seconds(10);
  EXPECT_EQ(office_.post(jon, kAt, {{"chart", kChart}}).status, 200);
  EXPECT_EQ(office_.post(jon, kAt, {{"chart", kChart}}).status, 429);
}

TEST_F(ChartSearchTest, AListHandsFewChartNumbersOut) {
  office_.records().write({"1", office_.now}, [&](store::Writer& w) {
    for (int i = 0; i < 60; ++i) place(w, "many " + std::to_string(i), "36", 1, i);
  });
  const Told told = office_.get(lead_, "/api/records/restoration?limit=1000");
  EXPECT_EQ(told.body["records"].size(), 50U);
  EXPECT_EQ(told.body["more"], true);
  EXPECT_EQ(office_.get(lead_, "/api/records/restoration?limit=1000&offset=50").body["records"].size(), 14U);
}

}  // namespace
}  // namespace throughcure::tests
