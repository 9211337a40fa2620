// A restoration that was not planned goes on record. No outside source: this is our own contract.
#include <chrono>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/fleet/equipment.hpp"
#include "throughcure/practice/material.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/practice/restoration.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using nlohmann::json;

constexpr const char* kAt = "/api/unplanned-restorations";

class UnplannedTest : public testing::Test {
 protected:
  UnplannedTest() : lead_(office_.begin()) {
    office_.records().write({"1", office_.now}, [&](store::Writer& w) {
      const base::RoomId room = w.add(practice::Room{{1}, "Room 1", {}, {}});
      w.add(practice::MaterialEntry{"Universal paste", "A3"});
      w.add(fleet::BarrierEntry{.name = "Sleeve", .pass = 0.9, .pass_sd = 0.02, .source = "measured here"});
      for (const char* name : {"Lamp 1", "Lamp 2"}) {
        const base::LightId light = w.add(fleet::LightEntry{.room = room,
                                                            .name = name,
                                                            .serial = name,
                                                            .claimed_mw_cm2 = 1000.0,
                                                            .approval_number = "1",
                                                            .approved_by = "a",
                                                            .bought_in = {},
                                                            .warranty_until = {},
                                                            .accepted_at = office_.now,
                                                            .withdrawn_at = {},
                                                            .check_mode = "standard"});
        w.add(fleet::TipEntry{light, "straight", 8});
      }
    });
    jon_ = office_.join(lead_, "jon", "clinician");
    ana_ = office_.join(lead_, "ana", "assistant");
  }

  static json sent() { return {{"chart", "4711"}, {"tooth", " 75 "}, {"light", 1}, {"tip", 1}, {"material", 1}}; }
  std::string refused_at(const std::string& field, const json& value) {
    json all = sent();
    all[field] = value;
    const Told told = office_.post(jon_, kAt, all);
    EXPECT_EQ(told.status, 422) << field;
    const json problems = told.body.value("problems", json::array());
    return problems.empty() ? "" : problems.at(0).value("field", "");
  }

  Office office_;
  Browser lead_;
  Browser jon_;
  Browser ana_;
};

TEST_F(UnplannedTest, IsKeptOnceWithItsOperatorItsBarrierAndItsRoom) {
  const service::Header key{"idempotency-key", "0123456789abcdef"};
  json all = sent();
  all["placed_by"] = 2;
  all["barrier"] = 1;
  all["placed_at"] = nullptr;
  const Told told = office_.post(lead_, kAt, all, {key});
  ASSERT_EQ(told.status, 201) << told.text;
  EXPECT_EQ(office_.post(lead_, kAt, all, {key}).body, told.body);
  office_.records().read([&](const store::Reader& r) {
    ASSERT_EQ(r.list<practice::Restoration>().size(), 1U);
    const practice::Restoration made = r.get<practice::Restoration>({1}).value().record;
    EXPECT_EQ(made.tooth, "75") << "a primary tooth";
    EXPECT_EQ(made.placed_at, office_.now);
    EXPECT_EQ(made.placed_by, base::PersonId{2});
    EXPECT_EQ(made.material, "Universal paste, A3");
    EXPECT_EQ(made.barrier_pass, 0.9);
    EXPECT_EQ(made.room, base::RoomId{1});
    EXPECT_FALSE(made.resolved_case || made.probability);
  });
}

TEST_F(UnplannedTest, IsOfWhoeverRecordsItWhereNobodyIsNamed) {
  ASSERT_EQ(office_.post(jon_, kAt, sent()).status, 201);
  EXPECT_EQ(office_.get(jon_, "/api/records/restoration/1").body["record"]["placed_by"], 2);
}

TEST_F(UnplannedTest, EachRefusalNamesItsField) {
  EXPECT_EQ(refused_at("chart", ""), "chart");
  EXPECT_EQ(refused_at("tooth", "19"), "tooth");
  EXPECT_EQ(refused_at("tooth", "x"), "tooth");
  EXPECT_EQ(refused_at("tip", 2), "tip");
  EXPECT_EQ(refused_at("material", 9), "material");
  EXPECT_EQ(refused_at("barrier", 9), "barrier");
  EXPECT_EQ(refused_at("placed_by", 3), "placed_by") << "an assistant";
  EXPECT_EQ(refused_at("placed_by", 99), "placed_by");
  EXPECT_EQ(refused_at("placed_at", "yesterday"), "placed_at");
  EXPECT_EQ(refused_at("placed_at", base::instant_text(office_.now + std::chrono::hours(48))), "placed_at");
  EXPECT_EQ(refused_at("colour", "blue"), "colour");
  json nowhere = sent();
  nowhere["light"] = 99;
  EXPECT_EQ(office_.post(jon_, kAt, nowhere).status, 404);
  EXPECT_EQ(office_.post(ana_, kAt, sent()).status, 403);
}

TEST_F(UnplannedTest, TheSheetHasTheBarriersAndThePeople) {
  const json sheet = office_.get(jon_, "/api/restoration-sheet").body;
  EXPECT_EQ(sheet["barriers"].at(0),
            (json{{"id", 1}, {"name", "Sleeve"}, {"pass", 0.9}, {"pass_sd", 0.02}, {"source", "measured here"}}));
  json places = json::object();
  for (const json& person : sheet["people"]) places[std::to_string(person["id"].get<int>())] = person["places"];
  EXPECT_EQ(places, (json{{"1", true}, {"2", true}, {"3", false}}));
  for (const json& person : sheet["people"]) EXPECT_EQ(person.size(), 3U) << "names only";
}

TEST_F(UnplannedTest, ItsToothIsCorrectedToOneThatThereIs) {
  ASSERT_EQ(office_.post(jon_, kAt, sent()).status, 201);
  json record = office_.get(jon_, "/api/records/restoration/1").body["record"];
  record["tooth"] = "39";
  const Told wrong = office_.put(jon_, "/api/records/restoration/1?revision=1", record);
  EXPECT_EQ(wrong.status, 422);
  EXPECT_EQ(wrong.body["problems"].at(0)["field"], "tooth");
  record["tooth"] = "46";
  EXPECT_EQ(office_.put(jon_, "/api/records/restoration/1?revision=1", record).status, 200);
}

}  // namespace
}  // namespace throughcure::tests
