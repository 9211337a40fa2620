// What belongs to a site is for its people: every route, asked by a clinician and a lead of another site. A route that
// is not in the table below fails the test. No outside source: our own contract.
#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/fleet/equipment.hpp"
#include "throughcure/fleet/reading_entry.hpp"
#include "throughcure/practice/attachment.hpp"
#include "throughcure/practice/look_back.hpp"
#include "throughcure/practice/material.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/practice/restoration.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using nlohmann::json;
using service::Access;
using service::Method;
using testing::HasSubstr;
using testing::Not;

/// What the other site's people are to get of a route.
enum class Gets : std::uint8_t {
  kRefused,   ///< 403 or 404, whether they read or write
  kWithout,   ///< their own, in which nothing of this site stands
  kNotAsked,  ///< nothing in it belongs to a site, or to anybody but the one who asks
};

struct Line {
  Gets gets = Gets::kNotAsked;
  std::string path{};  ///< with {light} and the like for numbers of this site's records
  json body{};
  bool is_control = true;  ///< one who leads everywhere gets what is refused to the others
};

/// Stands in every name of this site's records.
constexpr const char* kMark = "zebra";
constexpr const char* kMonth = "2026-01";

/// Kinds of which a record belongs to a site, and those of which none does.
const std::set<std::string> kOfSites = {"site",     "room",     "light",   "tip",         "servicing",
                                        "scrape",   "disc",     "reading", "restoration", "attachment",
                                        "lookback", "decision", "person"};
const std::set<std::string> kOfNone = {"radiometer", "certificate", "barrier", "material", "lot", "setting"};

class OtherSiteTest : public testing::Test {
 protected:
  OtherSiteTest()
      : lead_(office_.begin()),
        others_{{"clinician", office_.join(lead_, "jon", "clinician")}, {"lead", office_.join(lead_, "lia", "lead")}} {
    const Told site = office_.post(lead_, "/api/records/site",
                                   {{"name", std::string(kMark) + " road"}, {"time_zone", "Europe/Lisbon"}});
    number_["site"] = site.body.value("id", std::int64_t{0});
    office_.join(lead_, kMark, "assistant", number_["site"]);
    number_["person"] = 4;
    office_.records().write({"1", office_.now}, [&](store::Writer& w) { fill(w); });
    const Told import = office_.ask(lead_, Method::post, "/api/imports?kind=lot", "Material;Lot\r\nPaste;7\r\n",
                                    {{"x-file-name", "lots.csv"}});
    EXPECT_EQ(import.status, 201) << import.text;
    import_ = import.body.value("id", "");
  }

  void fill(store::Writer& w) {
    const std::string mark = kMark;
    const base::PersonId by{1};
    const auto radiometer = w.add(fleet::RadiometerEntry{"Meter", "R-7", 8.0, {}});
    const auto material = w.add(practice::MaterialEntry{"Paste", "A3"});
    const auto room = w.add(practice::Room{{number_["site"]}, mark + " room", radiometer, {}});
    const auto light = w.add(fleet::LightEntry{.room = room,
                                               .name = mark + " lamp",
                                               .serial = "K-1",
                                               .claimed_mw_cm2 = 1200.0,
                                               .approval_number = "1",
                                               .approved_by = "a",
                                               .bought_in = {},
                                               .warranty_until = {},
                                               .accepted_at = office_.now,
                                               .withdrawn_at = {},
                                               .check_mode = "standard"});
    const auto tip = w.add(fleet::TipEntry{light, mark + " tip", 8});
    const auto reading = w.add(fleet::ReadingEntry{.light = light,
                                                   .tip = tip,
                                                   .radiometer = radiometer,
                                                   .room = room,
                                                   .taken_by = by,
                                                   .taken_at = office_.now,
                                                   .arrived_at = office_.now,
                                                   .mode = "standard",
                                                   .shown_mw_cm2 = 1000,
                                                   .second_of_press = {},
                                                   .battery = {},
                                                   .note = {}});
    const auto restoration = w.add(practice::Restoration{.chart = "4711",
                                                         .tooth = "48",
                                                         .surfaces = "DO",
                                                         .placed_at = office_.now,
                                                         .placed_by = by,
                                                         .light = light,
                                                         .tip = tip,
                                                         .material = "Paste",
                                                         .lot = "7",
                                                         .barrier_pass = {},
                                                         .resolved_case = {},
                                                         .probability = {},
                                                         .seed = {},
                                                         .engine = {},
                                                         .note = {}});
    const auto look_back = w.add(practice::LookBack{.light = light,
                                                    .because = practice::Because::kWithdrawn,
                                                    .until = office_.now + std::chrono::hours(1),
                                                    .opened_at = office_.now,
                                                    .opened_by = by,
                                                    .note = mark});
    number_["room"] = room.number;
    number_["light"] = light.number;
    number_["tip"] = tip.number;
    number_["reading"] = reading.number;
    number_["restoration"] = restoration.number;
    number_["lookback"] = look_back.number;
    number_["radiometer"] = radiometer.number;
    number_["decision"] = w.add(practice::Decision{.look_back = look_back,
                                                   .restoration = restoration,
                                                   .what = practice::Followup::kWatch,
                                                   .reason = mark,
                                                   .signed_by = by,
                                                   .signed_at = office_.now})
                              .number;
    number_["servicing"] = w.add(fleet::ServicingEntry{.light = light, .at = office_.now, .told_by = by}).number;
    number_["scrape"] =
        w.add(practice::ScrapeTest{
                  .material = material, .light = light, .at = office_.now, .done_by = by, .seconds = 20, .left_mm = 5})
            .number;
    number_["disc"] = w.add(practice::DiscTest{.material = material,
                                               .light = light,
                                               .radiometer = radiometer,
                                               .at = office_.now,
                                               .done_by = by,
                                               .thickness_mm = 2,
                                               .through_mw_cm2 = 100,
                                               .bare_mw_cm2 = 1000})
                          .number;
    number_["attachment"] =
        w.attach(
             {.belongs_to = "light", .record = light.number, .about = "approval", .name = mark + ".pdf", .sha256 = {}},
             "%PDF-1.7")
            .number;
  }

  [[nodiscard]] std::string filled(std::string path) const {
    for (const auto& [name, number] : number_) {
      const std::string place = "{" + name + "}";
      for (std::size_t at = path.find(place); at != std::string::npos; at = path.find(place)) {
        path.replace(at, place.size(), std::to_string(number));
      }
    }
    return path;
  }
  [[nodiscard]] std::int64_t of(const std::string& kind) const { return number_.at(kind); }

  /// A record as it stands, to be sent again.
  json record(const std::string& kind) {
    json kept = office_.get(lead_, filled("/api/records/" + kind + "/{" + kind + "}")).body["record"];
    for (const char* act : {"accepted_at", "withdrawn_at"}) kept.erase(act);
    return kept;
  }

  Line of_records(const service::Route& route) {
    const std::string at = "/api/records/";
    const std::string kind = route.pattern.substr(at.size(), route.pattern.find('/', at.size()) - at.size());
    if (kOfNone.contains(kind)) return {};
    EXPECT_TRUE(kOfSites.contains(kind)) << "say whether a " << kind << " belongs to a site";
    const std::string one = at + kind + "/{" + kind + "}";
    if (route.method == Method::post) return {Gets::kRefused, at + kind, record(kind)};
    if (route.method == Method::put) return {Gets::kRefused, one + "?revision=1", record(kind)};
    if (route.pattern == at + kind) return {Gets::kWithout, at + kind};
    return {Gets::kRefused, one + (route.pattern.ends_with("/history") ? "/history" : "")};
  }

  /// Every other route, each with a line.
  std::map<std::string, Line> table() {
    const json because{{"because", "dropped"}};
    const json someone{
        {"name", std::string(kMark) + " somebody"}, {"role", "viewer"}, {"site", of("site")}, {"everywhere", false}};
    json added = someone;
    added["sign_in_name"] = "xx";
    json changed = someone;
    changed["active"] = true;
    const json check{{"light", of("light")},
                     {"tip", of("tip")},
                     {"radiometer", of("radiometer")},
                     {"room", of("room")},
                     {"taken_at", base::instant_text(office_.now)},
                     {"mode", "standard"},
                     {"shown_mw_cm2", 1000},
                     {"second_of_press", 5},
                     {"barrier_on", false},
                     {"tip_clean", true},
                     {"battery", 1},
                     {"purpose", "check"}};
    const json decided{
        {"password", Office::kPassword},
        {"decisions", {{{"restoration", of("restoration")}, {"what", "none"}, {"reason", "it held for years"}}}}};
    const json planned{
        {"document", json::object()}, {"chart", "1"}, {"surfaces", "DO"}, {"light", of("light")}, {"tip", of("tip")}};
    const json unplanned{{"chart", "1"}, {"tooth", "36"}, {"light", of("light")}, {"tip", of("tip")}, {"material", 1}};
    const std::string print = std::string("&month=") + kMonth;
    const std::string paper = "/api/attachments?belongs_to=light&about=approval&record={light}";
    const std::string import = "/api/imports/" + import_;
    return {
        {"GET /api/fleet", {Gets::kWithout, "/api/fleet"}},
        {"GET /api/fleet/{id}", {Gets::kRefused, "/api/fleet/{light}"}},
        {"POST /api/fleet/{id}/accept", {Gets::kRefused, "/api/fleet/{light}/accept", json::object()}},
        {"POST /api/fleet/{id}/refuse", {Gets::kRefused, "/api/fleet/{light}/refuse", because}},
        {"POST /api/fleet/{id}/withdraw", {Gets::kRefused, "/api/fleet/{light}/withdraw", because}},
        {"POST /api/fleet/{id}/return", {Gets::kRefused, "/api/fleet/{light}/return", json::object()}},
        {"GET /api/today", {Gets::kWithout, "/api/today"}},
        {"GET /api/check-sheet", {Gets::kWithout, "/api/check-sheet"}},
        {"POST /api/checks", {Gets::kRefused, "/api/checks", check}},
        {"GET /api/look-backs", {Gets::kWithout, "/api/look-backs"}},
        {"POST /api/look-backs",
         {Gets::kRefused, "/api/look-backs", json{{"light", of("light")}, {"note", "dropped"}}}},
        {"GET /api/look-backs/{id}", {Gets::kRefused, "/api/look-backs/{lookback}"}},
        // A page after the first one: what is asked for is looked at before the mark that it goes on from.
        {"GET /api/look-backs/{id}/restorations", {Gets::kRefused, "/api/look-backs/{lookback}/restorations"}},
        {"POST /api/look-backs/{id}/compute", {Gets::kRefused, "/api/look-backs/{lookback}/compute", json::object()}},
        {"POST /api/look-backs/{id}/decisions", {Gets::kRefused, "/api/look-backs/{lookback}/decisions", decided}},
        {"POST /api/look-backs/{id}/close", {Gets::kRefused, "/api/look-backs/{lookback}/close", json::object()}},
        {"POST /api/look-backs/{id}/reopen", {Gets::kRefused, "/api/look-backs/{lookback}/reopen", json::object()}},
        {"POST /api/look-backs/{id}/merge",
         {Gets::kRefused, "/api/look-backs/{lookback}/merge", json{{"into", of("lookback")}}}},
        {"GET /api/restoration-sheet", {Gets::kWithout, "/api/restoration-sheet"}},
        {"POST /api/plan/record", {Gets::kRefused, "/api/plan/record", planned}},
        {"POST /api/unplanned-restorations", {Gets::kRefused, "/api/unplanned-restorations", unplanned}},
        {"POST /api/restoration-search", {Gets::kWithout, "/api/restoration-search", json{{"chart", "4711"}}}},
        {"GET /api/room-log.pdf", {Gets::kRefused, "/api/room-log.pdf?room={room}" + print}},
        {"GET /api/report.pdf", {Gets::kRefused, "/api/report.pdf?light={light}" + print}},
        {"GET /api/labels.pdf", {Gets::kRefused, "/api/labels.pdf?lights={light}"}},
        {"GET /api/audit", {Gets::kRefused, "/api/audit"}},
        {"GET /api/audit/export", {Gets::kRefused, "/api/audit/export"}},
        {"POST /api/attachments", {Gets::kRefused, paper, "%PDF-1.7"}},
        {"GET /api/attachments/{id}", {Gets::kRefused, "/api/attachments/{attachment}"}},
        {"GET /api/people", {Gets::kWithout, "/api/people"}},
        {"POST /api/people", {Gets::kRefused, "/api/people", added}},
        {"PUT /api/people/{person}", {Gets::kRefused, "/api/people/{person}?revision=1", changed}},
        {"POST /api/people/{person}/code", {Gets::kRefused, "/api/people/{person}/code", json::object()}},
        {"PUT /api/policy/{name}",
         {Gets::kRefused, "/api/policy/alert_share?revision=0", json{{"number", 0.95}, {"source", "here"}}}},
        // A file that somebody else has taken in is nobody's but theirs.
        {"PUT /api/imports/{id}", {Gets::kRefused, import, json{{"kind", "lot"}}}},
        {"POST /api/imports/{id}/keep", {Gets::kRefused, import + "/keep", json::object(), false}},
        {"DELETE /api/imports/{id}", {Gets::kRefused, import, json(), false}},
        // Its rows are held against what one sees (desk/import_book): a light of another site is none.
        {"POST /api/imports", {}},
        {"GET /api/policy", {}},
        {"GET /api/session", {}},
        {"DELETE /api/session", {}},
        {"GET /api/session/people", {Gets::kWithout, "/api/session/people", json(), false}},
        {"POST /api/session/switch", {}},
        {"POST /api/session/password", {}},
        {"POST /api/session/pin", {}},
        // Files of the data folder belong to no site; a job is its owner's alone.
        {"GET /api/lights", {}},
        {"GET /api/lights/{id}", {}},
        {"GET /api/jobs/{name}", {}},
        {"DELETE /api/jobs/{name}", {}},
        {"GET /api/restorations", {}},
        {"GET /api/restorations/{id}", {}},
        {"GET /api/choices", {}},
        {"POST /api/plan/verdict", {}},
        {"POST /api/plan/why", {}},
        {"POST /api/plan/meshes", {}},
        {"GET /api/plan/open", {}},
        {"DELETE /api/plan/open", {}},
        {"POST /api/plan/file", {}},
    };
  }

  Told ask(const Browser& browser, const service::Route& route, const Line& line) {
    const std::string body = line.body.is_string() ? line.body.get<std::string>() : line.body.dump();
    return office_.ask(browser, route.method, filled(line.path), line.body.is_null() ? "" : body,
                       {{"x-file-name", "a.pdf"}});
  }

  /// Nothing of this site stands in it: no name, no restoration, none of its records.
  void expect_without(const std::string& path, const Told& told) const {
    EXPECT_EQ(told.status, 200) << path;
    EXPECT_THAT(told.text, Not(HasSubstr(kMark))) << path;
    EXPECT_THAT(told.text, Not(HasSubstr(R"("tooth":"48")"))) << path;
    const std::string at = "/api/records/";
    if (!path.starts_with(at)) return;
    for (const json& row : told.body.at("records")) EXPECT_NE(row.at("id"), of(path.substr(at.size()))) << path;
  }

  Office office_;
  Browser lead_;
  std::map<std::string, Browser> others_;
  std::map<std::string, std::int64_t> number_;
  std::string import_;
};

TEST_F(OtherSiteTest, EveryRouteKeepsASitesRecordsFromTheLeadAndTheCliniciansOfAnother) {
  const std::map<std::string, Line> lines = table();
  std::set<std::string> used;
  std::vector<std::pair<const service::Route*, Line>> asked;
  for (const service::Route& route : office_.site().routes()) {
    if (!route.pattern.starts_with("/api/") || route.access == Access::open) continue;
    if (route.pattern.find("...") != std::string::npos) continue;
    const std::string key = std::string(service::method_name(route.method)) + " " + route.pattern;
    const auto line = lines.find(key);
    const bool is_records = route.pattern.starts_with("/api/records/");
    if (line == lines.end() && !is_records) {
      ADD_FAILURE() << "say in the table what people of another site get of " << key;
      continue;
    }
    used.insert(key);
    asked.emplace_back(&route, is_records ? of_records(route) : line->second);
  }
  for (const auto& [key, line] : lines) EXPECT_TRUE(used.contains(key)) << "no such route any more: " << key;
  int pairs = 0;
  for (const auto& [route, line] : asked) {
    if (line.gets == Gets::kNotAsked) continue;
    for (const auto& [role, browser] : others_) {
      SCOPED_TRACE(role);
      const Told told = ask(browser, *route, line);
      ++pairs;
      // A list that only a lead sees is refused to a clinician by their role.
      const bool by_role = route->access == Access::lead && role != "lead";
      if (line.gets == Gets::kWithout && !by_role) {
        expect_without(line.path, told);
      } else {
        EXPECT_TRUE(told.status == 403 || told.status == 404)
            << service::method_name(route->method) << ' ' << filled(line.path) << " gave " << told.status << ' '
            << told.text;
      }
    }
  }
  EXPECT_GT(pairs, 120);
  // All of it is there for one who leads everywhere: what was refused was refused for its site.
  for (const auto& [route, line] : asked) {
    if (line.gets == Gets::kNotAsked || !line.is_control) continue;
    const Told told = ask(lead_, *route, line);
    const std::string words =
        std::string(service::method_name(route->method)) + " " + filled(line.path) + ": " + told.text;
    EXPECT_TRUE(told.status != 403 && told.status != 404) << words;
    if (line.gets == Gets::kWithout) {
      EXPECT_TRUE(told.text.find(kMark) != std::string::npos || told.text.find("\"light\":") != std::string::npos ||
                  told.text.find(R"("tooth":"48")") != std::string::npos)
          << words;
    }
  }
}

}  // namespace
}  // namespace throughcure::tests
