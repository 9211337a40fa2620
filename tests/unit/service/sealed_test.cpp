// What people write in their own words stands in the log as a seal; a log that was begun before a field was sealed
// goes on. No outside source: our own contract.
#include <algorithm>
#include <array>
#include <functional>
#include <sstream>
#include <string>
#include <string_view>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/exchange/audit_check.hpp"
#include "throughcure/fleet/equipment.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/practice/restoration.hpp"
#include "throughcure/store/all_kinds.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using testing::HasSubstr;
using testing::Not;

fleet::LightEntry refused(base::RoomId room, const std::string& because) {
  return {.room = room,
          .name = "Lamp A",
          .serial = "K-1",
          .claimed_mw_cm2 = {},
          .approval_number = {},
          .approved_by = {},
          .bought_in = {},
          .warranty_until = {},
          .accepted_at = {},
          .withdrawn_at = {},
          .refused_because = because};
}

/// Lights as a program kept them that did not seal yet why one was refused.
store::Table lights_of_before() {
  store::Table table = store::table_of<fleet::LightEntry>();
  for (base::Column& column : table.columns) {
    if (column.name == "refused_because") column.is_private = false;
  }
  return table;
}

const practice::Field& field_called(const practice::Fields& fields, std::string_view name) {
  return *std::ranges::find_if(fields, [&](const practice::Field& one) { return one.name == name; });
}

class SealedTest : public testing::Test {
 protected:
  SealedTest() : lead_(office_.begin()) {}

  void write(const std::function<void(store::Writer&)>& work) { office_.records().write({"1", office_.now}, work); }

  /// What whoever is handed the log now finds, holding a root that was printed before.
  exchange::AuditReport check(const exchange::PrintedRoot& paper) {
    std::istringstream log(office_.get(lead_, "/api/audit/export").text);
    return exchange::check_audit_log(log, "audit-log.jsonl", {.key = {}, .paper = paper}, {});
  }
  exchange::PrintedRoot root_now() {
    exchange::PrintedRoot paper;
    office_.records().read([&](const store::Reader& reader) {
      const practice::RightEdge edge = reader.edge();
      paper = {.size = edge.size(), .root = edge.root()};
    });
    return paper;
  }

  Office office_;
  Browser lead_;
};

TEST_F(SealedTest, WhatIsWrittenInOnesOwnWordsIsPrivateInEveryKind) {
  constexpr std::array<std::string_view, 4> free_texts = {"note", "reason", "refused_because", "why_not"};
  int found = 0;
  store::AllKinds::each([&]<class Record>(std::type_identity<Record>) {
    for (const base::Column& column : base::columns_of<Record>()) {
      if (std::ranges::find(free_texts, column.name) == free_texts.end()) continue;
      EXPECT_TRUE(column.is_private) << base::kind_of<Record>() << ' ' << column.name;
      ++found;
    }
  });
  EXPECT_GE(found, 7);
}

TEST_F(SealedTest, WhatWasPlacedIsToldByTheLogAsLittleAsForWhom) {
  write([](store::Writer& w) {
    const base::LightId light = w.add(refused(w.add(practice::Room{{1}, "Room 1", {}, {}}), ""));
    const base::TipId tip = w.add(fleet::TipEntry{light, "straight", 8});
    w.add(practice::Restoration{.chart = "7781-chart",
                                .tooth = "36",
                                .surfaces = "DO of Mrs Vint",
                                .placed_at = {},
                                .placed_by = {1},
                                .light = light,
                                .tip = tip,
                                .material = "paste of Mrs Vint",
                                .lot = "lot of Mrs Vint",
                                .barrier_pass = {},
                                .resolved_case = {},
                                .probability = {},
                                .seed = {},
                                .engine = {},
                                .note = "Mrs Vint was late"});
  });
  const std::string log = office_.get(lead_, "/api/audit/export").text;
  EXPECT_THAT(log, HasSubstr("restoration"));
  EXPECT_THAT(log, Not(HasSubstr("7781-chart")));
  EXPECT_THAT(log, Not(HasSubstr("Mrs Vint")));
}

TEST_F(SealedTest, WhyALightWasRefusedIsToldToThePracticeAndNotByTheLog) {
  write([](store::Writer& w) {
    fleet::LightEntry light = refused(w.add(practice::Room{{1}, "Room 1", {}, {}}), "");
    light.refused_because.reset();
    w.add(light);
  });
  const Told told = office_.post(lead_, "/api/fleet/1/refuse", {{"because", "no papers, says Ana"}});
  ASSERT_EQ(told.status, 200) << told.text;
  EXPECT_THAT(office_.get(lead_, "/api/fleet/1").body.value("why", ""), HasSubstr("no papers, says Ana"));
  EXPECT_EQ(office_.get(lead_, "/api/today").body["changed"].at(0)["sentence"], "refused a light");
  EXPECT_THAT(office_.get(lead_, "/api/audit/export").text, Not(HasSubstr("no papers")));
  const nlohmann::json last = office_.get(lead_, "/api/audit").body["changes"].at(0);
  EXPECT_EQ(last["after"].at(0)["field"], "refused_because");
  EXPECT_EQ(last["after"].at(0)["text"], nullptr);
}

TEST_F(SealedTest, ALogThatWasBegunBeforeAFieldWasSealedGoesOn) {
  const store::Table before = lights_of_before();
  write([&](store::Writer& w) {
    const base::RoomId room = w.add(practice::Room{{1}, "Room 1", {}, {}});
    w.add(before, base::values_of(refused(room, "no papers")));
  });
  const exchange::PrintedRoot paper = root_now();
  EXPECT_EQ(check(paper).faults, 0U);

  ASSERT_EQ(office_.post(lead_, "/api/fleet/1/refuse", {{"because", "no bill"}}).status, 200);

  const exchange::AuditReport report = check(paper);
  EXPECT_EQ(report.answer, exchange::AuditAnswer::kConsistent);
  EXPECT_EQ(report.vouched, paper.size);
  EXPECT_EQ(report.changes, paper.size + 1);
  EXPECT_THAT(report.problems, testing::IsEmpty());
  office_.records().read([&](const store::Reader& reader) {
    const practice::Change first = reader.changes(paper.size, 1).at(0);
    EXPECT_EQ(field_called(first.after, "refused_because"), (practice::Field{"refused_because", "no papers"}));
    const practice::Change next = reader.changes(paper.size + 1, 1).at(0);
    ASSERT_EQ(next.before.size(), 1U);
    ASSERT_EQ(next.after.size(), 1U);
    const auto opened_by = [&](const practice::Field& field, bool after, const std::string& value) {
      return practice::opens(std::get<practice::Commitment>(field.value),
                             {*reader.salt(next.number, after, "refused_because"), value});
    };
    EXPECT_TRUE(opened_by(next.before[0], false, "no papers"));
    EXPECT_TRUE(opened_by(next.after[0], true, "no bill"));
  });
}

TEST_F(SealedTest, WhatWasWrittenBeforeAFieldWasSealedIsReadAsItWas) {
  const store::Table before = lights_of_before();
  write([&](store::Writer& w) {
    const base::RoomId room = w.add(practice::Room{{1}, "Room 1", {}, {}});
    w.add(before, base::values_of(refused(room, "no papers")));
  });
  const std::uint64_t size = root_now().size;
  EXPECT_EQ(office_.get(lead_, "/api/records/light/1").body["record"]["refused_because"], "no papers");
  // The same again is no change, whoever sealed what.
  ASSERT_EQ(office_.post(lead_, "/api/fleet/1/refuse", {{"because", "no papers"}}).status, 200);
  EXPECT_EQ(root_now().size, size);
  ASSERT_EQ(office_.post(lead_, "/api/fleet/1/refuse", {{"because", "no bill"}}).status, 200);
  EXPECT_EQ(office_.get(lead_, "/api/records/light/1").body["record"]["refused_because"], "no bill");
  EXPECT_EQ(office_.get(lead_, "/api/records/light/1/history").status, 200);
  const nlohmann::json changes = office_.get(lead_, "/api/audit").body["changes"];
  EXPECT_EQ(changes.at(0)["before"].at(0)["text"], nullptr);
  EXPECT_THAT(changes.at(1)["after"].dump(), HasSubstr("no papers"));
}

}  // namespace
}  // namespace throughcure::tests
