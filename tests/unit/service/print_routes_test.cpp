// What a practice prints, over HTTP, read back by other programs (poppler, zbar). No other outside source: our own
// contract.
#include <algorithm>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/laid_words.hpp"
#include "support/read_print.hpp"
#include "throughcure/desk/demo_practice.hpp"
#include "throughcure/desk/members.hpp"
#include "throughcure/fleet/reading_entry.hpp"
#include "throughcure/service/report_print.hpp"
#include "throughcure/service/room_log_print.hpp"
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

  /// Of what was just added.
  static std::int64_t id(const Told& told) {
    EXPECT_EQ(told.status, 201) << told.text;
    return told.body.value("id", std::int64_t{0});
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
  for (const char* print :
       {"/api/labels.pdf", "/api/report.pdf?month=2026-01", "/api/room-log.pdf?room=2&month=2025-12"}) {
    EXPECT_EQ(office_.get(lead_, print).text, office_.get(lead_, print).text) << print;
  }
  EXPECT_THAT(facts_of(office_.get(lead_, "/api/labels.pdf").text), HasSubstr("Mon Jan  5 08:00:00 2026"));
}

TEST_F(PrintTest, ThePrintsAreDescribed) {
  const nlohmann::json paths = office_.get({}, "/api/openapi.json").body["paths"];
  for (const char* print : {"/api/labels.pdf", "/api/report.pdf", "/api/room-log.pdf"}) {
    EXPECT_TRUE(paths[print]["get"]["responses"]["2XX"]["content"].contains("application/pdf")) << print;
  }
}

/// The page's own sentence of a light, as it is set in type.
std::string sentence_of(Office& office, const Browser& browser, int light) {
  std::string words = office.get(browser, "/api/fleet/" + std::to_string(light)).body.value("sentence", "");
  for (auto at = words.find("cm2"); at != std::string::npos; at = words.find("cm2")) words.replace(at, 3, "cm²");
  return words;
}

TEST_F(PrintTest, ARoomsLogHasEveryCheckOfTheMonthAndWhatAnInspectorAsksFor) {
  const Told told = office_.get(lead_, "/api/room-log.pdf?room=2&month=2025-12");
  ASSERT_EQ(told.status, 200) << told.text;
  EXPECT_THAT(told.all("content-disposition"), ElementsAre("inline; filename=\"room-log-2-2025-12.pdf\""));
  const std::string words = words_in_a_row(told.text);
  for (const char* one : {"Room 2, Harbour street: checks of December 2025",
                          "This is how it stood at the end of the month, on 2025-12-31.", "Lamp 2", "K-1043",
                          "INV-K-1043, Invented agency", "straight 8 mm", "Meter of the sterile room", "R-7",
                          "C-2211, Invented laboratory", "Lowest output at which a light may be used", "500 mW/cm²",
                          "90 %", "common practice, no source", "Ana Teal", "tip clean, whole", "page 1 of"}) {
    EXPECT_THAT(words, HasSubstr(one));
  }
  EXPECT_THAT(words, testing::Not(HasSubstr("Lamp 1"))) << "it is another room's";
  // Each reading that the records have of that month and room, with its time by the site's clock (no offset in winter).
  int readings = 0;
  const Told all = office_.get(lead_, "/api/records/reading?limit=1000&room=2");
  const auto pages = words_of_pages(told.text);
  for (const auto& kept : all.body["records"]) {
    const auto at = kept["record"]["taken_at"].get<std::string>();
    if (!at.starts_with("2025-12")) continue;
    ++readings;
    const std::string local = at.substr(0, 10) + " " + at.substr(11, 5);
    EXPECT_TRUE(std::ranges::any_of(pages, [&](const std::string& page) {
      return page.find(local) != std::string::npos;
    })) << local;
  }
  EXPECT_GE(readings, 8);
  EXPECT_THAT(words, HasSubstr(std::to_string(readings) + " checks were taken"));
}

TEST_F(PrintTest, AMonthIsThatOfTheSitesOwnClock) {
  // In Auckland (13 h ahead of UTC in January) the new month has begun at noon UTC.
  const std::int64_t site =
      id(office_.post(lead_, "/api/records/site", {{"name", "Hill"}, {"time_zone", "Pacific/Auckland"}}));
  const std::int64_t room = id(office_.post(lead_, "/api/records/room", {{"site", site}, {"name", "Far room"}}));
  const std::int64_t light =
      id(office_.post(lead_, "/api/records/light", {{"room", room}, {"name", "Far lamp"}, {"serial", "F-1"}}));
  const std::int64_t tip =
      id(office_.post(lead_, "/api/records/tip", {{"light", light}, {"name", "straight"}, {"diameter_mm", 8}}));
  const auto add = [&](const char* at) {
    office_.records().write({"1", office_.now}, [&](store::Writer& writer) {
      writer.add(fleet::ReadingEntry{.light = {light},
                                     .tip = {tip},
                                     .radiometer = {1},
                                     .room = {room},
                                     .taken_by = {1},
                                     .taken_at = *base::parse_instant(at),
                                     .arrived_at = office_.now,
                                     .mode = "standard",
                                     .shown_mw_cm2 = 1000,
                                     .second_of_press = {},
                                     .battery = {},
                                     .note = {}});
    });
  };
  add("2025-12-31T10:59:00.000000Z");
  add("2025-12-31T11:01:00.000000Z");
  const std::string log = "/api/room-log.pdf?room=" + std::to_string(room) + "&month=";
  const std::string december = words_in_a_row(office_.get(lead_, log + "2025-12").text);
  const std::string january = words_in_a_row(office_.get(lead_, log + "2026-01").text);
  EXPECT_THAT(december, HasSubstr("2025-12-31 23:59"));
  EXPECT_THAT(december, HasSubstr("One check was taken"));
  EXPECT_THAT(january, HasSubstr("2026-01-01 00:01"));
  EXPECT_THAT(january, HasSubstr("The month is not over"));
  const Browser there = office_.join(lead_, "vera", "viewer", site);
  EXPECT_EQ(office_.get(there, log + "2026-01").status, 200) << "a viewer may, of their own site";
  EXPECT_EQ(office_.get(there, "/api/room-log.pdf?room=1&month=2026-01").status, 404);
  EXPECT_EQ(office_.get(there, "/api/report.pdf?month=2026-01&light=1").status, 404);
  const std::string report = words_in_a_row(office_.get(there, "/api/report.pdf?month=2026-01").text);
  EXPECT_THAT(report, HasSubstr("Curing lights of Hill"));
  EXPECT_THAT(report, testing::Not(HasSubstr("Lamp 1")));
}

TEST_F(PrintTest, WhatIsNoMonthOrNotThereIsRefused) {
  for (const char* month : {"", "2026", "2026-13", "2026-00", "26-01", "2026-1", "2026-01-01", "next"}) {
    EXPECT_EQ(office_.get(lead_, std::string("/api/room-log.pdf?room=1&month=") + month).status, 422) << month;
    EXPECT_EQ(office_.get(lead_, std::string("/api/report.pdf?month=") + month).status, 422) << month;
  }
  EXPECT_EQ(office_.get(lead_, "/api/room-log.pdf?month=2026-01").status, 404);
  EXPECT_EQ(office_.get(lead_, "/api/room-log.pdf?room=77&month=2026-01").status, 404);
  EXPECT_EQ(office_.get(lead_, "/api/report.pdf?month=2026-01&light=77").status, 404);
  EXPECT_EQ(office_.get(lead_, "/api/report.pdf?month=2026-02").status, 422) << "it has not begun";
  const Told blank = office_.get(lead_, "/api/room-log.pdf?room=1&month=2026-02");
  EXPECT_EQ(blank.status, 200) << "a log to be kept by hand";
  EXPECT_THAT(words_in_a_row(blank.text), HasSubstr("The month has not begun."));
  EXPECT_THAT(words_in_a_row(office_.get(lead_, "/api/room-log.pdf?room=1&month=2020-01").text),
              HasSubstr("No check was taken."));
}

TEST_F(PrintTest, TheReportSaysWhatThePagesSay) {
  const Told told = office_.get(lead_, "/api/report.pdf?month=2026-01");
  ASSERT_EQ(told.status, 200) << told.text;
  const std::string words = words_in_a_row(told.text);
  EXPECT_THAT(words, HasSubstr("5 lights are kept: 3 in use; 2 on watch (Lamp 2, Lamp 4)."));
  EXPECT_THAT(words, HasSubstr("Overdue on 2026-01-05: Lamp 5, by 2 days."));
  EXPECT_THAT(words, HasSubstr("Room 3, Harbour street. It is in use. Its check is overdue by 2 days."));
  EXPECT_THAT(words, HasSubstr("No look-back is open. No decision was signed."));
  for (int light = 1; light <= 5; ++light) EXPECT_THAT(words, HasSubstr(sentence_of(office_, lead_, light)));
  EXPECT_THAT(words, HasSubstr("National approval: INV-K-1042, Invented agency. Bought in Portugal. Warranty until "
                               "2026-11-01. Battery: lithium-ion."));
  EXPECT_THAT(facts_of(told.text), HasSubstr("Pages:           6"));
}

TEST_F(PrintTest, EveryPageCarriesTheNewestRootOfTheLogAndTheKeyThatSignsIt) {
  const Told audit = office_.get(lead_, "/api/audit?count=1");
  const auto grouped = [&](const char* name) {
    const auto digits = audit.body[name].get<std::string>();
    EXPECT_EQ(digits.size(), 64U) << name;
    std::string words;
    for (std::size_t i = 0; i < digits.size(); ++i) {
      if (i % 8 == 0 && i > 0) words += ' ';
      words += digits[i];
    }
    return words;
  };
  const std::string size = std::to_string(audit.body["size"].get<int>());
  const std::string root_words = "over " + size + " changes: " + grouped("root");
  const std::string key_words = "The practice's public key, for --key: " + grouped("key");
  EXPECT_THAT(office_.get(lead_, "/api/audit/export").text,
              HasSubstr("\"key\":\"" + audit.body["key"].get<std::string>() + "\""))
      << "the key of the paper is the one that signs";
  const std::string how_to_check = "throughcure audit verify FILE --root \"HEX\" --size " + size;
  for (const char* print : {"/api/report.pdf?month=2026-01", "/api/room-log.pdf?room=1&month=2026-01"}) {
    for (const std::string& page : words_of_pages(office_.get(lead_, print).text)) {
      EXPECT_THAT(page, HasSubstr(root_words));
      EXPECT_THAT(page, HasSubstr(how_to_check));
      EXPECT_THAT(page, HasSubstr(key_words));
    }
  }
}

TEST_F(PrintTest, AFailureIsInTheLogAndItsLookBackInTheReportOfWhoMaySeeIt) {
  for (int i = 0; i < 2; ++i) {
    office_.now += std::chrono::minutes(10);
    const Told check = office_.post(lead_, "/api/checks",
                                    {{"light", 2},
                                     {"tip", 2},
                                     {"radiometer", 1},
                                     {"room", 2},
                                     {"taken_at", base::instant_text(office_.now)},
                                     {"mode", "standard"},
                                     {"shown_mw_cm2", 410},
                                     {"barrier_on", false},
                                     {"tip_clean", true},
                                     {"battery", 1},
                                     {"purpose", "check"}});
    EXPECT_EQ(check.body["verdict"], i == 0 ? "again" : "failed") << check.body.dump();
  }
  const std::string log = words_in_a_row(office_.get(lead_, "/api/room-log.pdf?room=2&month=2026-01").text);
  EXPECT_THAT(log, HasSubstr("1 to be taken again, 1 failed"));
  EXPECT_THAT(log, HasSubstr("too low: again"));
  EXPECT_THAT(log, HasSubstr("withdrawn"));
  const std::string look_back = "One look-back is open: Lamp 2, ";
  const std::string report = words_in_a_row(office_.get(lead_, "/api/report.pdf?month=2026-01").text);
  EXPECT_THAT(report, HasSubstr(look_back));
  EXPECT_THAT(report, HasSubstr("1 withdrawn (Lamp 2)"));
  const Browser viewer = office_.join(lead_, "vera", "viewer");
  const Told theirs = office_.get(viewer, "/api/report.pdf?month=2026-01");
  EXPECT_EQ(theirs.status, 200);
  EXPECT_THAT(words_in_a_row(theirs.text), testing::Not(HasSubstr(look_back)));
  // The month before is as it was: the light was in use then.
  const std::string before = words_in_a_row(office_.get(lead_, "/api/report.pdf?month=2025-12").text);
  EXPECT_THAT(before, HasSubstr("3 in use; 2 on watch (Lamp 2, Lamp 4)."));
  EXPECT_THAT(before, HasSubstr("No look-back was open."));
  EXPECT_THAT(before, HasSubstr("As it stood on 2025-12-31: "));
  // What was done in the month stands on the light's own page.
  const std::string own = words_in_a_row(office_.get(lead_, "/api/report.pdf?month=2026-01&light=2").text);
  EXPECT_THAT(own, HasSubstr("withdrawn Marta Vint"));
  EXPECT_THAT(own, HasSubstr("2026-01-05 08:20")) << "a day is not broken within itself";
  EXPECT_THAT(own, testing::Not(HasSubstr("Lamp 1")));
}

TEST_F(PrintTest, AChecksVerdictIsTheOneThatWasToldThenAndWhatItWouldBeNowStandsBesideIt) {
  const desk::LocalMonth december{2025, 12};
  // The log of the room and the light's page of the report have the same rows.
  std::ptrdiff_t otherwise = 0;
  const auto rows = [&] {
    std::vector<desk::CheckRow> found;
    office_.records().read([&](const store::Reader& reader) {
      const practice::Member lead = *desk::member(reader, {1});
      found = desk::month_report(reader, lead, december, base::LightId{2}, office_.now).lights.at(0).checks;
      // The room's log has other lights too.
      const std::vector<desk::CheckRow> of_room = desk::room_log(reader, lead, {2}, december, office_.now).rows;
      otherwise = std::ranges::count(of_room, true, &desk::CheckRow::otherwise);
      for (const desk::CheckRow& row : found) {
        const auto same = std::ranges::find(of_room, row.reading, &desk::CheckRow::reading);
        ASSERT_NE(same, of_room.end());
        EXPECT_EQ(same->came_to, row.came_to);
      }
    });
    return found;
  };
  const auto row_of = [](const std::vector<desk::CheckRow>& all, base::ReadingId id) {
    const auto at = std::ranges::find(all, id, &desk::CheckRow::reading);
    EXPECT_NE(at, all.end());
    return at == all.end() ? desk::CheckRow{} : *at;
  };
  const auto words = [&] { return words_in_a_row(office_.get(lead_, "/api/room-log.pdf?room=2&month=2025-12").text); };
  const std::vector<desk::CheckRow> before = rows();
  ASSERT_GE(before.size(), 4U);
  for (const desk::CheckRow& row : before) {
    EXPECT_TRUE(row.on_record);
    EXPECT_FALSE(row.otherwise) << row.came_to;
  }
  const desk::CheckRow& first = before.front();
  const desk::CheckRow& last = before.back();
  ASSERT_EQ(first.came_to, "low: watch it") << "the lamp that wears out";
  EXPECT_THAT(words(), testing::Not(HasSubstr("told something else now")));
  // It is corrected: it would have been good.
  const std::string at = "/api/records/reading/" + std::to_string(first.reading.number);
  nlohmann::json record = office_.get(lead_, at).body["record"];
  record["shown_mw_cm2"] = record["told_baseline_mw_cm2"].get<double>() * (record["barrier_on"].get<bool>() ? 0.93 : 1);
  ASSERT_EQ(office_.put(lead_, at + "?revision=1", record).status, 200);
  const desk::CheckRow corrected = row_of(rows(), first.reading);
  EXPECT_EQ(corrected.came_to, "low: watch it; now 100 %, good");
  EXPECT_EQ(corrected.verdict, fleet::CheckVerdict::kLow);
  EXPECT_EQ(corrected.share, first.share) << "as it was told";
  EXPECT_THAT(words(), HasSubstr("One would be told something else now."));
  // Another limit: what was told stays.
  ASSERT_EQ(office_.put(lead_, "/api/policy/lower_limit_mw_cm2?revision=0", {{"number", 1100}, {"source", "invented"}})
                .status,
            200);
  EXPECT_EQ(row_of(rows(), last.reading).came_to, last.came_to + "; now too low: again");
  EXPECT_EQ(row_of(rows(), last.reading).verdict, last.verdict);
  EXPECT_THAT(words(), HasSubstr(std::to_string(otherwise) + " would be told something else now."));
  // What came in by another way was never told.
  base::ReadingId brought;
  office_.records().write({"1", office_.now}, [&](store::Writer& writer) {
    auto reading = writer.get<fleet::ReadingEntry>(first.reading)->record;
    reading.taken_at = reading.taken_at + std::chrono::minutes(5);
    reading.told.reset();
    brought = writer.add(reading);
  });
  EXPECT_EQ(row_of(rows(), brought).came_to, "not on record; now good");
  EXPECT_THAT(words(), HasSubstr("Of one it is not on record what was told: it is judged as of now."));
}

TEST_F(PrintTest, SignedDecisionsAreCounted) {
  const Told opened = office_.post(lead_, "/api/fleet/2/withdraw", {{"because", "it was dropped"}});
  const Told parts = office_.get(lead_, "/api/look-backs/1");
  const auto restoration = parts.body["restorations"].at(0)["id"].get<std::int64_t>();
  const nlohmann::json one{{"restoration", restoration}, {"what", "recall"}, {"reason", "soft"}};
  const Told signed_one =
      office_.post(lead_, "/api/look-backs/1/decisions",
                   {{"decisions", nlohmann::json::array({one})}, {"password", desk::kDemoPassword}});
  ASSERT_EQ(signed_one.status, 201) << signed_one.body.dump();
  const std::string report = words_in_a_row(office_.get(lead_, "/api/report.pdf?month=2026-01").text);
  EXPECT_THAT(report, HasSubstr("One decision was signed: 1 recall; by Marta Vint."));
  EXPECT_THAT(report, testing::Not(HasSubstr("soft"))) << "reasons are private";
}

TEST_F(PrintTest, ManyChecksAndLongNamesStayInTheirCells) {
  const std::string name(80, 'W');
  nlohmann::json light = office_.get(lead_, "/api/records/light/1").body;
  light["record"]["name"] = name;
  EXPECT_EQ(office_.put(lead_, "/api/records/light/1?revision=1", light["record"]).status, 200);
  office_.records().write({"1", office_.now}, [&](store::Writer& writer) {
    for (int i = 0; i < 200; ++i) {
      const base::Instant at = office_.now - std::chrono::minutes(20 * i);
      writer.add(fleet::ReadingEntry{.light = {1},
                                     .tip = {1},
                                     .radiometer = {1},
                                     .room = {1},
                                     .taken_by = {3},
                                     .taken_at = at,
                                     .arrived_at = at,
                                     .mode = "standard",
                                     .shown_mw_cm2 = 1100.0 + i % 7,
                                     .second_of_press = {},
                                     .battery = {},
                                     .note = {}});
    }
  });
  office_.records().read([&](const store::Reader& reader) {
    const practice::Member lead = *desk::member(reader, {1});
    const desk::RoomLog log = desk::room_log(reader, lead, {1}, {2026, 1}, office_.now);
    EXPECT_GE(log.rows.size(), 200U);
    for (const draw::Picture& page : service::room_log_print(log, office_.now).pages) expect_tidy(page, 5);
    const desk::MonthReport report = desk::month_report(reader, lead, {2026, 1}, std::nullopt, office_.now);
    for (const draw::Picture& page : service::report_print(report, office_.now).pages) expect_tidy(page, 5);
  });
}

}  // namespace
}  // namespace throughcure::tests
