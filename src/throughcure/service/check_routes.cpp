#include "throughcure/service/check_routes.hpp"

#include <algorithm>
#include <memory>

#include <nlohmann/json.hpp>

#include "throughcure/base/problem.hpp"
#include "throughcure/desk/checks.hpp"
#include "throughcure/desk/light_rooms.hpp"
#include "throughcure/desk/local_day.hpp"
#include "throughcure/desk/members.hpp"
#include "throughcure/desk/reading_rules.hpp"
#include "throughcure/desk/runs_out.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/service/record_json.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;

constexpr std::string_view kTicketHeader = "x-throughcure-ticket";

json instant_or_null(const std::optional<base::Instant>& at) {
  return at ? json(base::instant_text(*at)) : json(nullptr);
}

json last_of(const desk::LightRecord& record, const desk::LightState& state) {
  if (!state.last) return nullptr;
  const fleet::LightReading* const reading = desk::reading_of(record, state.last->id);
  if (reading == nullptr) return nullptr;
  return {{"at", base::instant_text(reading->at)},
          {"shown_mw_cm2", reading->shown_mw_cm2},
          {"tip", record.tips.at(reading->tip).id.number},
          {"radiometer", record.radiometers.at(reading->radiometer).id.number},
          {"baseline_mw_cm2", state.last->baseline_mw_cm2},
          {"limit_mw_cm2", state.last->limit_mw_cm2},
          {"share", state.last->share}};
}

/// Where a light is: in its own room, unless it was lent to another one that whoever asks sees.
base::RoomId room_now(const store::Reader& reader, const desk::LightRecord& record, const practice::Member& member,
                      base::Instant now) {
  const base::RoomId own = record.light.record.room;
  const bool ever_lent =
      std::ranges::any_of(record.servicing, [](const auto& event) { return event.record.what == fleet::Deed::kLent; });
  if (!ever_lent) return own;
  const base::RoomId there = desk::LightRooms(reader).at(record.light.id, now).value_or(own);
  const auto room = reader.get<practice::Room>(there);
  return room && member.sees(room->record.site) ? there : own;
}

json light_row(const desk::LightRecord& record, const desk::LightState& state, base::RoomId room) {
  json tips = json::array();
  for (const auto& tip : record.tips) {
    tips.push_back({{"id", tip.id.number}, {"name", tip.record.name}, {"diameter_mm", tip.record.diameter_mm}});
  }
  const fleet::LightEntry& light = record.light.record;
  return {{"id", record.light.id.number},
          {"name", light.name},
          {"serial", light.serial},
          {"room", room.number},
          {"state", desk::word(state.state)},
          {"mode", light.check_mode ? json(*light.check_mode) : json(nullptr)},
          {"battery", light.battery.has_value()},
          {"tips", tips},
          {"last", last_of(record, state)},
          {"due", instant_or_null(state.due)},
          {"overdue", state.overdue}};
}

Response sheet(const Call& call, const RecordsDesk& desk) {
  const practice::Member& member = member_of(call);
  const base::Instant now = desk.settings.now();
  json document;
  desk.records->read([&](const store::Reader& reader) {
    desk::LightsNow known(reader, desk.lights);
    const desk::Policy& policy = known.policy();
    const store::Query all{.where = {}, .order_by = {}, .limit = desk::kAllOfThem};
    json rooms = json::array();
    for (const auto& room : reader.list<practice::Room>(all)) {
      if (!member.sees(room.record.site)) continue;
      rooms.push_back({{"id", room.id.number},
                       {"name", room.record.name},
                       {"radiometer", room.record.radiometer ? json(room.record.radiometer->number) : json(nullptr)}});
    }
    json radiometers = json::array();
    const desk::Certificates certificates(reader, now);
    for (const auto& one : reader.list<fleet::RadiometerEntry>(all)) {
      const std::optional<base::Instant> until = certificates.until(one);
      radiometers.push_back({{"id", one.id.number},
                             {"name", one.record.name},
                             {"certificate_until", instant_or_null(until)},
                             {"expired", until && desk::is_day_over(*until, now)}});
    }
    json barriers = json::array();
    for (const auto& one : reader.list<fleet::BarrierEntry>(all)) {
      barriers.push_back({{"id", one.id.number}, {"name", one.record.name}, {"pass", one.record.pass}});
    }
    json lights = json::array();
    const desk::Places places(reader);
    for (const base::LightId light : places.lights()) {
      if (!member.sees(places.site_of(light))) continue;
      const std::shared_ptr<const desk::LightRecord> record = known.record(light);
      lights.push_back(light_row(*record, known.state(light, now), room_now(reader, *record, member, now)));
    }
    document = {{"at", base::instant_text(now)},
                {"limits",
                 {{"lower_mw_cm2", policy["lower_limit_mw_cm2"]},
                  {"upper_mw_cm2", policy["upper_caution_mw_cm2"]},
                  {"alert_share", policy["alert_share"]},
                  {"action_share", policy["action_share"]}}},
                {"rooms", rooms},
                {"radiometers", radiometers},
                {"barriers", barriers},
                {"lights", lights}};
  });
  return json_response(200, document.dump() + "\n");
}

json document_of(const desk::CheckAnswer& answer) {
  json ask = nullptr;
  if (answer.ask) ask = {{"why", *answer.ask}, {"barrier_on", false}, {"clean_tip", true}, {"full_battery", true}};
  return {{"reading", answer.reading.number},
          {"verdict", desk::word(answer.verdict)},
          {"sentence", answer.sentence},
          {"steps", answer.steps},
          {"share", answer.share ? json(*answer.share) : json(nullptr)},
          {"baseline_mw_cm2", answer.baseline_mw_cm2 ? json(*answer.baseline_mw_cm2) : json(nullptr)},
          {"limit_mw_cm2", answer.limit_mw_cm2 ? json(*answer.limit_mw_cm2) : json(nullptr)},
          {"ask", ask},
          {"watch", answer.watch ? json(*answer.watch) : json(nullptr)},
          {"look_back", answer.look_back ? json(answer.look_back->number) : json(nullptr)},
          {"state", desk::word(answer.state)}};
}

/// The document of a reading as a phone sends it: who took it and when it arrived are the program's to say.
fleet::ReadingEntry reading_in(const Call& call, base::PersonId by, base::Instant now) {
  json document = json::parse(call.request.body, nullptr, false);
  if (document.is_object()) {
    document["taken_by"] = by.number;
    document["arrived_at"] = base::instant_text(now);
  }
  base::Problems problems;
  const store::Table table = store::table_of<fleet::ReadingEntry>();
  const auto values = record_values(table, document.dump(-1, ' ', false, json::error_handler_t::replace), problems);
  base::refuse_if_any(problems);
  return base::record_of<fleet::ReadingEntry>(values);
}

Response take(const Call& call, const RecordsDesk& desk, const TicketKey& key) {
  const base::Instant now = desk.settings.now();
  practice::Member by = member_of(call);
  const std::string_view ticket = call.request.header(kTicketHeader);
  const auto account = ticket.empty() ? std::nullopt : account_of_ticket(ticket, now, key);
  if (!ticket.empty() && !account) {
    throw desk::Forbidden("This check has waited too long to be sent under whoever took it. Take it again.");
  }
  std::string document;
  if (account && *account != by.account) {
    std::optional<practice::Member> taker;
    desk.records->read([&](const store::Reader& reader) { taker = desk::member(reader, *account); });
    if (!taker || taker->role < practice::Role::kAssistant) {
      throw desk::Forbidden("Whoever took this check may not take checks any more. Ask the lead.");
    }
    by = *taker;
  }
  const fleet::ReadingEntry reading = reading_in(call, by.person, now);
  desk.records->write({std::to_string(by.person.number), now}, [&](store::Writer& writer) {
    document = once(writer, call, [&] {
      desk::must_not_lie_ahead_of_a_slow_clock(writer, reading, now);
      return document_of(desk::take_check(writer, reading, by, now, desk.lights)).dump() + "\n";
    });
  });
  return json_response(201, document);
}

}  // namespace

std::vector<Route> check_routes(const RecordsDesk& desk, const TicketKey& key) {
  RecordsDesk at_checks = desk;
  at_checks.threads = desk.check_threads;
  std::vector<Route> routes;
  routes.push_back({Method::get, "/api/check-sheet", Access::signed_in,
                    "What a phone needs to take checks: lights, tips, radiometers, barriers, limits.",
                    on_desk(desk, [desk](const Call& call) { return sheet(call, desk); }), true, "", "CheckSheet"});
  routes.push_back({Method::post, "/api/checks", Access::assistant,
                    "Takes a check in and judges it; a confirmed failure withdraws the light and opens a look-back.",
                    on_desk(at_checks, [desk, key](const Call& call) { return take(call, desk, key); }), true, "Check",
                    "CheckAnswer"});
  return routes;
}

}  // namespace throughcure::service
