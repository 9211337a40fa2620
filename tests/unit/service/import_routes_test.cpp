// Spreadsheets over HTTP. No outside source: our own contract, with an invented practice.
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/exchange/sheet.hpp"
#include "throughcure/service/import_drafts.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using nlohmann::json;
using service::Method;
using testing::HasSubstr;

const std::string kLog =
    "Date;Light;Reading (mW/cm\u00b2);Meter;By;Clean;Note\r\n"
    "13.10.25 8:15;Lamp A;1.050;R-7;marta vint;yes;\r\n"
    "14.10.25 8:20;K-1;1.020,5;Meter of room 1;;no;after lunch\r\n"
    "15.10.25;Lamp B;980;R-7;;x;\r\n";

class ImportRoutes : public testing::Test {
 protected:
  ImportRoutes() : lead_(office_.begin()) {
    room_ = add("room", {{"site", 1}, {"name", "Room 1"}});
    light_ = add("light", {{"room", room_}, {"name", "Lamp A"}, {"serial", "K-1"}, {"check_mode", "standard"}});
    add("tip", {{"light", light_}, {"name", "8 mm"}, {"diameter_mm", 8}});
    const std::int64_t other =
        add("light", {{"room", room_}, {"name", "Lamp B"}, {"serial", "K-2"}, {"check_mode", "boost"}});
    add("tip", {{"light", other}, {"name", "8 mm"}, {"diameter_mm", 8}});
    add("radiometer", {{"name", "Meter of room 1"}, {"serial", "R-7"}});
  }
  std::int64_t add(const std::string& kind, const json& record) {
    const Told told = office_.post(lead_, "/api/records/" + kind, record);
    EXPECT_EQ(told.status, 201) << kind << told.body.dump();
    return told.body.value("id", std::int64_t{0});
  }
  Told upload(const Browser& browser, const std::string& kind, const std::string& bytes) {
    return office_.ask(browser, Method::post, "/api/imports?kind=" + kind, bytes, {{"x-file-name", "log%202025.csv"}});
  }
  static std::string at(const json& preview) { return "/api/imports/" + preview.value("id", ""); }
  Told change(const json& preview, const json& settings) {
    json body = settings;
    if (!body.contains("kind")) body["kind"] = preview["kind"];
    return office_.put(lead_, at(preview), body);
  }
  Told keep(const json& preview, const std::string& key = "0123456789abcdef") {
    return office_.post(lead_, at(preview) + "/keep", json::object(), {{"idempotency-key", key}});
  }
  json records(const std::string& kind) { return office_.get(lead_, "/api/records/" + kind).body["records"]; }
  /// What is wrong, a line each.
  static std::string rejected(const json& preview) {
    std::string all;
    for (const json& one : preview["rejected"]) {
      all += std::to_string(one["row"].get<int>()) + " " +
             (one["field"].is_null() ? "-" : one["field"].get<std::string>()) + " [" + one["text"].get<std::string>() +
             "] " + one["what"].get<std::string>() + ". " + one["remedy"].get<std::string>() + "\n";
    }
    return all;
  }

  Office office_;
  Browser lead_;
  std::int64_t room_ = 0;
  std::int64_t light_ = 0;
};

TEST_F(ImportRoutes, ALogOfReadingsIsUnderstoodAndKept) {
  const Told told = upload(lead_, "reading", kLog);
  ASSERT_EQ(told.status, 201) << told.text;
  const json& preview = told.body;
  EXPECT_EQ(preview["file_name"], "log 2025.csv");
  EXPECT_EQ(preview["encoding"], "UTF-8");
  EXPECT_EQ(preview["delimiter"], ";");
  EXPECT_EQ(preview["rows"], 3);
  EXPECT_EQ(
      preview["columns"][0],
      (json{{"name", "Date"}, {"samples", {"13.10.25 8:15", "14.10.25 8:20", "15.10.25"}}, {"looks_like", "date"}}));
  EXPECT_EQ(preview["date_order"], "dmy");
  EXPECT_EQ(preview["decimal_mark"], ",");
  EXPECT_EQ(preview["columns_of"]["shown_mw_cm2"], 2);
  EXPECT_EQ(preview["constants"]["time_of_day"], "12:00");
  EXPECT_EQ(preview["questions"], json::array());
  EXPECT_EQ(preview["accepted"], 3) << rejected(preview);
  const json& first = preview["understood"][0];
  EXPECT_EQ(first["row"], 2);
  EXPECT_EQ(first["values"]["taken_at"], "2025-10-13 08:15");
  EXPECT_EQ(first["values"]["shown_mw_cm2"], "1,050 mW/cm2");
  EXPECT_EQ(first["values"]["light"], "Lamp A (K-1)");
  EXPECT_EQ(first["values"]["tip"], "8 mm of Lamp A");
  EXPECT_EQ(first["values"]["mode"], "standard");
  EXPECT_EQ(records("reading").size(), 0U) << "nothing is kept by looking";

  const Told kept = keep(preview);
  EXPECT_EQ(kept.status, 201) << kept.text;
  EXPECT_EQ(kept.body,
            (json{{"kind", "reading"}, {"added", 3}, {"already", 0}, {"left_out", 0}, {"look_at", json::array()}}));
  const json all = records("reading");
  ASSERT_EQ(all.size(), 3U);
  EXPECT_EQ(all[0]["record"]["taken_at"], "2025-10-13T07:15:00.000000Z") << "summer time in Lisbon";
  EXPECT_EQ(all[0]["record"]["arrived_at"], "2026-01-05T08:00:00.000000Z");
  EXPECT_EQ(all[1]["record"]["shown_mw_cm2"], 1020.5);
  EXPECT_EQ(all[1]["record"]["tip_clean"], false);
  EXPECT_EQ(all[1]["record"]["note"], "after lunch");
  EXPECT_EQ(all[1]["record"]["taken_by"], 1);
  EXPECT_EQ(all[2]["record"]["taken_at"], "2025-10-15T11:00:00.000000Z") << "noon stands for no time";
  EXPECT_EQ(all[2]["record"]["mode"], "boost");

  EXPECT_EQ(keep(preview).body, kept.body) << "the same key gives the same answer";
  EXPECT_EQ(keep(preview, "fedcba9876543210").status, 404) << "the file is gone";
  const json again = upload(lead_, "reading", kLog).body;
  EXPECT_EQ(again["already"], 3);
  EXPECT_EQ(again["accepted"], 0);
  EXPECT_EQ(keep(again, "fedcba9876543210").body["added"], 0);
  EXPECT_EQ(records("reading").size(), 3U);
}

TEST_F(ImportRoutes, WhatCannotBeKnownIsAsked) {
  const json preview =
      upload(lead_, "reading", "Day,Lamp,Value\n03/04/2025,Lamp A,\"1,050\"\n04/05/2025,Lamp A,\"1,100\"\n").body;
  ASSERT_EQ(preview["questions"].size(), 2U) << preview["questions"].dump();
  EXPECT_EQ(preview["questions"][0]["asks"], "date_order");
  EXPECT_THAT(preview["questions"][0]["sentence"].get<std::string>(), HasSubstr("\"03/04/2025\" can be two days"));
  EXPECT_EQ(preview["questions"][0]["choices"].size(), 2U);
  EXPECT_EQ(preview["questions"][1]["asks"], "decimal_mark");
  EXPECT_EQ(preview["constants"]["radiometer"], "id:1") << "there is only one";
  EXPECT_EQ(preview["accepted"], 0);
  const Told refused = keep(preview);
  EXPECT_EQ(refused.status, 422);
  EXPECT_EQ(refused.body["problems"].size(), 2U);
  const Told answered = change(preview, {{"date_order", "mdy"}, {"decimal_mark", "."}});
  EXPECT_EQ(answered.body["questions"], json::array());
  EXPECT_EQ(answered.body["understood"][0]["values"]["taken_at"], "2025-03-04 12:00");
  EXPECT_EQ(answered.body["understood"][0]["values"]["shown_mw_cm2"], "1,050 mW/cm2");
  EXPECT_EQ(
      change(preview, {{"date_order", "dmy"}, {"decimal_mark", ","}}).body["understood"][0]["values"]["shown_mw_cm2"],
      "1.05 mW/cm2");
  EXPECT_EQ(keep(preview).status, 201);
}

TEST_F(ImportRoutes, RowsThatAreWrongAreToldWithWhatToDoAndKeepNothing) {
  const std::string log =
      "Light,Date,Reading,Meter\n"
      "Lamp A,2025-03-04 08:15,1050 mW/cm2,R-7\n"  // 2: right
      "Lamp C,2025-03-04 08:15,1050,R-7\n"         // 3
      "Lamp A,2025-13-04 08:15,1050,R-7\n"         // 4
      "Lamp A,2025-03-30 01:30,1050,R-7\n"         // 5: skipped in Lisbon
      "Lamp A,2025-10-26 01:30,1050,R-7\n"         // 6: twice
      "Lamp A,2025-10-26T01:30+01:00,1050,R-7\n"   // 7: right
      "Lamp A,2025-03-05 08:15,90 mW,R-7\n"        // 8
      "Lamp A,2025-03-05 08:15,1.2 W/cm2,R-7\n"    // 9: right
      "Lamp A,2025-03-06 08:15,30000,R-7\n"        // 10
      "Lamp A,2027-03-06 08:15,1050,R-7\n"         // 11
      "Lamp A,2025-03-07 08:15,,R-8\n"             // 12
      "Lamp A,2025-03-08 08:15,1,050,R-7\n"        // 13: a comma too many
      "Lamp A,2025-03-04 08:15,1050,R-7\n";        // 14: as row 2
  const Told told = upload(lead_, "reading", log);
  ASSERT_EQ(told.status, 201) << told.text;
  const json& preview = told.body;
  EXPECT_EQ(preview["accepted"], 3);
  EXPECT_EQ(preview["already"], 1);
  EXPECT_EQ(preview["rejected_rows"], 9);
  const std::string wrong = rejected(preview);
  EXPECT_THAT(wrong, HasSubstr("3 light [Lamp C] no light in the records is called \"Lamp C\""));
  EXPECT_THAT(wrong, HasSubstr("4 taken_at [2025-13-04 08:15] \"2025-13-04 08:15\" is no date"));
  EXPECT_THAT(wrong, HasSubstr("5 taken_at [2025-03-30 01:30] the clock is put forward over this time"));
  EXPECT_THAT(wrong, HasSubstr("6 taken_at [2025-10-26 01:30] this time comes twice in that night"));
  EXPECT_THAT(wrong, HasSubstr("8 shown_mw_cm2 [90 mW] mW is a unit of power, and this is a power per area"));
  EXPECT_THAT(wrong, HasSubstr("10 shown_mw_cm2 [30000] 30000 is not between 0 and 20000"));
  EXPECT_THAT(wrong,
              HasSubstr("11 taken_at [2027-03-06 08:15] it lies more than a day ahead. Look whether day and month"));
  EXPECT_THAT(wrong, HasSubstr("12 shown_mw_cm2 [] there is nothing in it"));
  EXPECT_THAT(wrong, HasSubstr("12 radiometer [R-8] no radiometer in the records"));
  EXPECT_THAT(wrong, HasSubstr("13 - [] it has 5 cells, and the row of names has 4"));
  const Told refused = keep(preview);
  EXPECT_EQ(refused.status, 422);
  EXPECT_THAT(refused.text, HasSubstr("row 3: no light in the records"));
  EXPECT_EQ(records("reading").size(), 0U) << "all or nothing";
  const Told without = change(preview, {{"leave_out", {3, 4, 5, 6, 8, 10, 11, 12, 13}}});
  EXPECT_EQ(without.body["rejected_rows"], 0);
  const json kept = keep(preview).body;
  EXPECT_EQ(kept["added"], 3);
  EXPECT_EQ(kept["already"], 1);
  EXPECT_EQ(kept["left_out"], 9);
  EXPECT_EQ(records("reading")[2]["record"]["shown_mw_cm2"], 1200.0);
}

TEST_F(ImportRoutes, ListsOfLightsAndRadiometersComeInOnce) {
  const std::string lights =
      "Name,Serial no.,Room,Claimed (W/cm2),Tip diameter (cm),Warranty until,Mode,Violet,Laboratory measured\n"
      "Lamp C,K-3,room 1,1.2,0.8,31/12/2027,standard,yes,yes\n"
      "Lamp A,k-1,Room 1,1,0.8,,,,\n"
      "Lamp X,K-2,Room 1,1,0.8,,,,\n"
      "Lamp D,K-4,Room 9,1,,,,,\n";
  const json preview = upload(lead_, "light", lights).body;
  EXPECT_EQ(preview["accepted"], 1) << rejected(preview);
  EXPECT_EQ(preview["already"], 1);
  EXPECT_THAT(rejected(preview), HasSubstr("4 serial [K-2] this serial number is there already, as \"Lamp B\""));
  EXPECT_THAT(rejected(preview), HasSubstr("5 room [Room 9] no room in the records"));
  change(preview, {{"leave_out", {4, 5}}});
  EXPECT_EQ(keep(preview).body["added"], 1);
  const json light = records("light")[2]["record"];
  EXPECT_EQ(light["name"], "Lamp C");
  EXPECT_EQ(light["claimed_mw_cm2"], 1200.0);
  EXPECT_EQ(light["warranty_until"], "2027-12-31T12:00:00.000000Z");
  EXPECT_EQ(light["emits_violet"], true);
  EXPECT_EQ(light["claim_measured"], true);
  EXPECT_TRUE(records("light")[0]["record"]["emits_violet"].is_null()) << "nothing was said of it";
  EXPECT_TRUE(light["accepted_at"].is_null()) << "accepting is an act of its own";
  EXPECT_EQ(records("tip")[2]["record"], (json{{"light", 3}, {"name", "8 mm"}, {"diameter_mm", 8.0}}));

  const json meters =
      upload(lead_, "radiometer", "Name;Serial;Aperture mm;Calibrated until\nMeter 2;R-8;7,5;2027-03-01\n").body;
  EXPECT_EQ(keep(meters, "fedcba9876543210").body["added"], 1) << rejected(meters);
  EXPECT_EQ(records("radiometer")[1]["record"]["aperture_mm"], 7.5);
}

TEST_F(ImportRoutes, WhoeverBringsALogInIsToldWhichLightsWantACheck) {
  for (const std::string name : {"C", "D"}) {
    const std::int64_t light =
        add("light", {{"room", room_}, {"name", "Lamp " + name}, {"serial", "S-" + name}, {"check_mode", "standard"}});
    add("tip", {{"light", light}, {"name", "8 mm"}, {"diameter_mm", 8}});
  }
  std::string log =
      "Date,Light,Reading\n"
      "2025-03-03,Lamp A,710\n"  // 71 % of what comes first, a month before
      "2025-02-03,Lamp A,1000\n"
      "2025-02-03,Lamp B,560\n"
      "2025-03-03,Lamp B,490\n";  // 88 % of its baseline, and under the lower limit
  for (int day = 10; day < 30; ++day) {
    const std::string at = "2025-04-" + std::to_string(day);
    log +=
        at + ",Lamp C," + (day < 20 ? (day % 2 == 0 ? "1010" : "990") : "905") + "\n";  // falls, and stays above 80 %
    log += at + ",Lamp D," + (day % 2 == 0 ? "1010" : "990") + "\n";
  }
  const json preview = upload(lead_, "reading", log).body;
  ASSERT_EQ(preview["accepted"], 44) << rejected(preview);
  const Told kept = keep(preview);
  const json& look_at = kept.body["look_at"];
  ASSERT_EQ(look_at.size(), 3U) << kept.text;
  EXPECT_EQ(look_at[0], (json{{"light", light_},
                              {"name", "Lamp A"},
                              {"sentence",
                               "Its newest reading, of 3 March 2025, is 71 % of its baseline: check it before it is "
                               "used."}}));
  EXPECT_EQ(look_at[1]["sentence"],
            "Its newest reading, of 3 March 2025, is 490 mW/cm2, and the checks ask for 500: check it before it is "
            "used.");
  EXPECT_EQ(look_at[2]["name"], "Lamp C");
  EXPECT_THAT(look_at[2]["sentence"].get<std::string>(), HasSubstr("since 2025-04-2"));
  EXPECT_THAT(look_at[2]["sentence"].get<std::string>(), testing::EndsWith(": check it before it is used."));
  EXPECT_EQ(keep(preview).body, kept.body) << "the same key gives the same answer";
  for (const json& light : records("light")) EXPECT_TRUE(light["record"]["withdrawn_at"].is_null());
  EXPECT_EQ(office_.get(lead_, "/api/look-backs").body.value("look_backs", json::array()), json::array());
}

TEST_F(ImportRoutes, RestorationsKeepWhatIsPrivateToThemselves) {
  const std::string list =
      "Chart no,Date,Tooth,Surfaces,Dentist,Light,Material\n"
      "P-4711,2025-03-04 10:00,14,DO,Marta Vint,K-1,universal paste A2\n"
      "P-4712,2025-03-05 10:00,15,O,Somebody Else,K-1,universal paste A2\n";
  const json preview = upload(lead_, "restoration", list).body;
  ASSERT_EQ(preview["questions"].size(), 1U) << preview["questions"].dump();
  EXPECT_EQ(preview["questions"][0]["field"], "tooth_numbers");
  EXPECT_EQ(preview["questions"][0]["asks"], "constant");
  const json universal = change(preview, {{"constants", {{"tooth_numbers", "universal"}}}}).body;
  EXPECT_THAT(rejected(universal), HasSubstr("3 placed_by [Somebody Else]"));
  const Told refused = keep(preview);
  EXPECT_EQ(refused.status, 422);
  EXPECT_THAT(refused.text, Not(HasSubstr("P-471")));
  EXPECT_EQ(office_.logged, "");
  change(preview, {{"constants", {{"tooth_numbers", "universal"}}}, {"leave_out", {3}}});
  EXPECT_EQ(keep(preview).body["added"], 1);
  const json made = records("restoration")[0]["record"];
  EXPECT_EQ(made["chart"], "P-4711");
  EXPECT_EQ(made["tooth"], "26") << "Universal 14 is the upper left first molar, ISO 3950 26";
  const Told audit = office_.get(lead_, "/api/audit");
  EXPECT_THAT(audit.text, Not(HasSubstr("P-4711")));
  const json known =
      upload(lead_, "restoration", "Chart,Date,Tooth,By,Light\nP-4711,2025-03-04 10:00,36,Marta Vint,K-1\n").body;
  EXPECT_EQ(known["constants"]["tooth_numbers"], "iso") << "36 is one in ISO 3950 only";
}

TEST_F(ImportRoutes, WhatComesInLateReachesTheLookBacksOfItsLight) {
  std::string key = "0123456789abcde0";
  const auto bring_in = [&](const std::string& kind, const std::string& list) {
    const json preview = upload(lead_, kind, list).body;
    EXPECT_EQ(preview["rejected_rows"], 0) << rejected(preview);
    ++key.back();
    const Told kept = keep(preview, key);
    EXPECT_EQ(kept.status, 201) << kept.text;
  };
  const std::string columns = "Chart no,Date,Tooth,Surfaces,Dentist,Light,Material\n";
  const auto made = [](const std::string& chart, const std::string& day) {
    return chart + "," + day + " 10:00,36,DO,Marta Vint,K-1,universal paste A2\n";
  };
  const auto page = [&] { return office_.get(lead_, "/api/look-backs/1").body; };
  const auto decide_and_close = [&](int restoration) {
    const json decision{{"restoration", restoration}, {"what", "watch"}, {"reason", "shallow"}};
    const json signed_list{{"decisions", json::array({decision})}, {"password", Office::kPassword}};
    EXPECT_EQ(office_.post(lead_, "/api/look-backs/1/decisions", signed_list).status, 201);
    EXPECT_EQ(office_.post(lead_, "/api/look-backs/1/close", json::object()).status, 200);
  };
  bring_in("reading", "Date,Light,Reading\n2025-03-01,Lamp A,1000\n2025-03-10,Lamp A,950\n");
  bring_in("restoration", columns + made("P-1", "2025-03-05") + made("P-2", "2025-03-12"));
  ASSERT_EQ(office_.post(lead_, "/api/look-backs", {{"light", light_}, {"note", "it was dropped"}}).status, 201);
  ASSERT_EQ(page()["restorations"].size(), 1U) << "P-1 was made before the last good check";
  decide_and_close(2);

  bring_in("restoration", columns + made("P-3", "2025-03-13"));
  EXPECT_TRUE(page()["closed_at"].is_null()) << "P-3 is not decided";
  EXPECT_EQ(page()["restorations"].size(), 2U);
  decide_and_close(3);

  // By this one the light had lost a quarter by March: neither of its checks was good.
  bring_in("reading", "Date,Light,Reading\n2025-02-01,Lamp A,1300\n");
  EXPECT_TRUE(page()["closed_at"].is_null()) << "P-1 is in doubt now";
  EXPECT_EQ(page()["restorations"].size(), 3U);
}

TEST_F(ImportRoutes, LotsComeInWithTheirMaterials) {
  const std::int64_t paste = add("material", {{"name", "Universal paste"}, {"shade", "A2"}, {"ifu_seconds", 20}});
  add("lot", {{"material", paste}, {"number", "L-1"}, {"expires_at", "2027-03-31T11:00:00Z"}});
  const std::string list =
      "Material;Shade;Lot;Expires;Exposure\n"
      "universal paste;a2;L-1;03/2027;\n"        // 2: on record, until that very day
      "Universal paste A2;;L-2;2028-02;20 s\n"   // 3: its name and shade in one
      "Universal paste;;L-3;4.5.2027;\n"         // 4: the only one of that name
      "Bulk paste;universal;B-1;Mar-27;10\n"     // 5: a new one
      "Bulk paste;Universal;B-2;;\n"             // 6: the same
      "Bulk paste;universal;B-1;31.3.2027;\n"    // 7: as row 5
      "Bulk paste;universal;B-1;2027-04;\n"      // 8
      "Bulk paste;universal;B-3;2027-04;12 s\n"  // 9
      "Universal paste;A2;L-4;2027-04;40 s\n"    // 10
      "Universal paste;A2;L-1;2027-06-30;\n"     // 11
      "Universal paste;A2;L-5;13/2027;\n"        // 12
      ";A2;L-6;2027-04;\n"                       // 13
      "Universal paste;A2;;2027-04;\n";          // 14
  const json preview = upload(lead_, "lot", list).body;
  EXPECT_EQ(preview["questions"], json::array());
  EXPECT_EQ(preview["accepted"], 4) << rejected(preview);
  EXPECT_EQ(preview["already"], 2);
  EXPECT_EQ(preview["rejected_rows"], 7);
  EXPECT_EQ(preview["understood"][0]["values"], (json{{"material", "Universal paste, A2"},
                                                      {"number", "L-2"},
                                                      {"expires_at", "2028-02-29, the last day of that month"},
                                                      {"ifu_seconds", "20 s"}}));
  EXPECT_EQ(preview["understood"][1]["values"]["expires_at"], "2027-05-04");
  EXPECT_EQ(preview["understood"][2]["values"]["material"], "Bulk paste (added to the records)");
  const std::string wrong = rejected(preview);
  EXPECT_THAT(wrong, HasSubstr("8 expires_at [2027-04] this lot is there already, until 2027-03-31"));
  EXPECT_THAT(wrong, HasSubstr("9 ifu_seconds [12 s] a row before has the material with 10 s"));
  EXPECT_THAT(wrong, HasSubstr("10 ifu_seconds [40 s] the records have the material with 20 s"));
  EXPECT_THAT(wrong, HasSubstr("11 expires_at [2027-06-30] this lot is there already, until 2027-03-31"));
  EXPECT_THAT(wrong, HasSubstr("12 expires_at [13/2027] \"13/2027\" is no day"));
  EXPECT_THAT(wrong, HasSubstr("13 material [] there is nothing in it"));
  EXPECT_THAT(wrong, HasSubstr("14 number [] there is nothing in it"));
  EXPECT_EQ(keep(preview).status, 422);
  EXPECT_EQ(records("lot").size(), 1U) << "all or nothing";
  EXPECT_EQ(records("material").size(), 1U);
  change(preview, {{"leave_out", {8, 9, 10, 11, 12, 13, 14}}});
  EXPECT_EQ(keep(preview).body,
            (json{{"kind", "lot"}, {"added", 4}, {"already", 2}, {"left_out", 7}, {"look_at", json::array()}}));
  const json materials = records("material");
  ASSERT_EQ(materials.size(), 2U) << "a new one is added once";
  EXPECT_EQ(materials[1]["record"], (json{{"name", "Bulk paste"},
                                          {"shade", "universal"},
                                          {"ifu_seconds", 10.0},
                                          {"ifu_increment_mm", nullptr},
                                          {"file", nullptr}}));
  const json lots = records("lot");
  ASSERT_EQ(lots.size(), 5U);
  EXPECT_EQ(lots[1]["record"],
            (json{{"material", paste}, {"number", "L-2"}, {"expires_at", "2028-02-29T12:00:00.000000Z"}}));
  EXPECT_EQ(lots[2]["record"]["material"], paste);
  EXPECT_EQ(lots[3]["record"]["material"], 2);
  EXPECT_EQ(lots[4]["record"], (json{{"material", 2}, {"number", "B-2"}, {"expires_at", nullptr}}));
  const json again = upload(lead_, "lot", "Name,Shade,Batch,Use by\nBulk paste,UNIVERSAL,b-1,03/27\n").body;
  EXPECT_EQ(again["already"], 1) << rejected(again);

  add("material", {{"name", "Universal paste"}, {"shade", "A3"}});
  const json which = upload(lead_, "lot", "Name,Batch\nUniversal paste,L-9\n").body;
  EXPECT_THAT(rejected(which), HasSubstr("2 shade [] 2 materials in the records are called so. Say which shade"));
}

TEST_F(ImportRoutes, AMonthAloneServesForEveryLastDay) {
  const json meters = upload(lead_, "radiometer", "Name;Serial;Calibrated until\nMeter 2;R-8;2028-02\n").body;
  EXPECT_EQ(keep(meters).body["added"], 1) << rejected(meters);
  EXPECT_EQ(records("radiometer")[1]["record"]["certificate_until"], "2028-02-29T12:00:00.000000Z");
}

TEST_F(ImportRoutes, AreForThoseWhoMayAdd) {
  const Browser clinician = office_.join(lead_, "jon", "clinician");
  const Browser assistant = office_.join(lead_, "ana", "assistant");
  EXPECT_EQ(upload(assistant, "restoration", kLog).status, 403);
  EXPECT_EQ(upload(clinician, "reading", kLog).status, 403);
  EXPECT_EQ(upload(clinician, "light", kLog).status, 403);
  EXPECT_EQ(upload(clinician, "lot", "Material,Lot\nPaste,L-1\n").status, 201);
  EXPECT_EQ(upload(assistant, "lot", "Material,Lot\nPaste,L-1\n").status, 403);
  const std::string list = "Chart,Date,Tooth,By,Light\nP-1,2025-03-04 10:00,36,jon,K-1\n";
  const Told told = upload(clinician, "restoration", list);
  ASSERT_EQ(told.status, 201) << told.text;
  EXPECT_EQ(office_.put(clinician, at(told.body), {{"kind", "reading"}}).status, 403) << "nor by a change of kind";
  EXPECT_EQ(office_.put(lead_, at(told.body), {{"kind", "restoration"}}).status, 404) << "a file is its person's";
  EXPECT_EQ(keep(told.body).status, 404);
  EXPECT_EQ(office_.ask(clinician, Method::del, at(told.body)).status, 204);
  EXPECT_EQ(office_.ask(clinician, Method::del, at(told.body)).status, 404);
}

TEST_F(ImportRoutes, SeeNothingOfAnotherSite) {
  const std::int64_t other = add("site", {{"name", "Hill road"}, {"time_zone", "America/New_York"}});
  const std::int64_t room = add("room", {{"site", other}, {"name", "Room 9"}});
  const std::int64_t light =
      add("light", {{"room", room}, {"name", "Lamp Z"}, {"serial", "Z-1"}, {"check_mode", "standard"}});
  add("tip", {{"light", light}, {"name", "8 mm"}, {"diameter_mm", 8}});
  const Browser local = office_.join(lead_, "lia", "lead", other);
  const std::string log = "Light,Date,Reading\nK-1,2025-03-04 08:15,1050\nZ-1,2025-03-04 08:15,1050\n";
  const Told told = upload(local, "reading", log);
  EXPECT_EQ(told.body["accepted"], 1) << told.text;
  EXPECT_THAT(rejected(told.body), HasSubstr("2 light [K-1] no light in the records is called"));
  EXPECT_THAT(told.text, Not(HasSubstr("Lamp A")));
  EXPECT_EQ(office_
                .put(local, at(told.body),
                     {{"kind", "reading"}, {"constants", {{"light", "id:1"}}}, {"columns", {{"light", nullptr}}}})
                .body["rejected_rows"],
            2)
      << "nor by its number";
  office_.put(local, at(told.body), {{"kind", "reading"}, {"leave_out", {2}}});
  EXPECT_EQ(office_.post(local, at(told.body) + "/keep", json::object()).status, 201);
  EXPECT_EQ(records("reading")[0]["record"]["taken_at"], "2025-03-04T13:15:00.000000Z") << "by the clock of its site";
}

TEST_F(ImportRoutes, RefuseWhatIsNoSuchFile) {
  EXPECT_EQ(upload(lead_, "nonsense", kLog).status, 422);
  EXPECT_THAT(upload(lead_, "reading", "PK\x03\x04").text, HasSubstr("a spreadsheet's own file"));
  EXPECT_EQ(upload(lead_, "reading", "").status, 422);
  EXPECT_EQ(office_.ask(lead_, Method::post, "/api/imports?kind=reading", kLog).status, 422) << "no name";
  const json preview = upload(lead_, "reading", kLog).body;
  for (const json& wrong :
       {json{{"kind", "lamp"}}, json{{"columns", {{"colour", 1}}}}, json{{"columns", {{"light", 7}}}},
        json{{"columns", {{"light", "Light"}}}}, json{{"constants", {{"mode", 5}}}}, json{{"date_order", "dym"}},
        json{{"decimal_mark", ";"}}, json{{"leave_out", {"x"}}}, json{{"other", 1}}, json{{"leave_out", 3}}}) {
    EXPECT_EQ(change(preview, wrong).status, 422) << wrong.dump();
  }
  EXPECT_EQ(office_.ask(lead_, Method::put, at(preview), "[").status, 422);
}

TEST_F(ImportRoutes, AFileIsKeptForAnHourAndThreeOfAPerson) {
  const json first = upload(lead_, "reading", kLog).body;
  EXPECT_EQ(change(first, json::object()).status, 200);
  for (int i = 0; i < 3; ++i) upload(lead_, "reading", kLog);
  EXPECT_EQ(change(first, json::object()).status, 404) << "the oldest gave way";
  const json last = upload(lead_, "reading", kLog).body;
  office_.now += std::chrono::minutes(61);
  const Told told = keep(last);
  EXPECT_EQ(told.status, 404);
  EXPECT_THAT(told.text, HasSubstr("Choose the file again"));
}

TEST(ImportDrafts, AreBoundedInBytes) {
  base::Problems problems;
  auto sheet = exchange::read_sheet("a,b\n1,2\n", "a.csv", problems);
  ASSERT_TRUE(sheet.has_value());
  const auto shared = std::make_shared<const exchange::Sheet>(*std::move(sheet));
  service::ImportDrafts drafts({.most_each = 3, .most_bytes = 2 * shared->bytes()});
  const base::Instant now{};
  const std::string first = drafts.add({1}, "a.csv", shared, {}, now);
  drafts.add({2}, "a.csv", shared, {}, now);
  EXPECT_EQ(drafts.find(first, {1}, now).file_name, "a.csv");
  const std::string third = drafts.add({3}, "a.csv", shared, {}, now);
  EXPECT_THROW((void)drafts.find(first, {1}, now), std::exception) << "the oldest gave way";
  EXPECT_EQ(drafts.find(third, {3}, now).person.number, 3);
}

}  // namespace
}  // namespace throughcure::tests
