#include "throughcure/service/fleet_routes.hpp"

#include <algorithm>

#include <nlohmann/json.hpp>

#include "throughcure/base/problem.hpp"
#include "throughcure/desk/light_acts.hpp"
#include "throughcure/desk/light_page.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/desk/today.hpp"
#include "throughcure/service/body.hpp"
#include "throughcure/service/fleet_json.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;

base::LightId light_in_path(const Call& call) { return {number_in_path(call, "id")}; }

/// The light, where it is theirs to see.
std::shared_ptr<const desk::LightRecord> visible(desk::LightsNow& lights, const Call& call) {
  std::shared_ptr<const desk::LightRecord> record = lights.record(light_in_path(call));
  if (!member_of(call).sees(record->site.id)) throw desk::Missing("There is no light of that number here.");
  return record;
}

Response list(const Call& call, const RecordsDesk& desk) {
  const base::Instant now = desk.settings.now();
  std::string rows;
  desk.records->read([&](const store::Reader& reader) {
    desk::LightsNow lights(reader, desk.lights);
    for (const base::LightId light : desk::lights_of(desk::Places(reader), member_of(call))) {
      rows += (rows.empty() ? "" : ",") + fleet_row_json(lights.line(light, now));
    }
  });
  return json_response(200, R"({"at":")" + base::instant_text(now) + R"(","lights":[)" + rows + "]}\n");
}

Response page(const Call& call, const RecordsDesk& desk) {
  const base::Instant now = desk.settings.now();
  std::string document;
  desk.records->read([&](const store::Reader& reader) {
    desk::LightsNow lights(reader, desk.lights);
    const desk::Policy& policy = lights.policy();
    document = fleet_page_json(desk::light_view(*visible(lights, call), policy, now), reader, policy, now);
  });
  return json_response(200, std::move(document));
}

std::string because_in(const Call& call) {
  const Body body(call.request.body);
  std::string because = body.text("because");
  body.finish();
  return because;
}

/// An act on the light, answered with how it stands after it.
template <class Act>
Response act(const Call& call, const RecordsDesk& desk, const Act& work) {
  const base::Instant now = desk.settings.now();
  std::string document;
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    desk::LightsNow before(writer, desk.lights);
    visible(before, call);
    document = once(writer, call, [&] {
      const std::optional<base::LookBackId> look_back = work(writer, light_in_path(call), now);
      const desk::LightState state = desk::LightsNow(writer, desk.lights).state(light_in_path(call), now);
      return json{{"state", desk::word(state.state)},
                  {"why", state.why},
                  {"look_back", look_back ? json(look_back->number) : json(nullptr)}}
                 .dump() +
             "\n";
    });
  });
  return json_response(200, std::move(document));
}

using NoLookBack = std::optional<base::LookBackId>;

Response accept(const Call& call, const RecordsDesk& desk) {
  return act(call, desk, [](store::Writer& writer, base::LightId light, base::Instant now) {
    desk::accept_light(writer, light, now);
    return NoLookBack();
  });
}

Response refuse(const Call& call, const RecordsDesk& desk) {
  const std::string because = because_in(call);
  return act(call, desk, [&](store::Writer& writer, base::LightId light, base::Instant) {
    desk::refuse_light(writer, light, because);
    return NoLookBack();
  });
}

Response withdraw(const Call& call, const RecordsDesk& desk) {
  const std::string because = because_in(call);
  const base::PersonId by = member_of(call).person;
  return act(call, desk, [&](store::Writer& writer, base::LightId light, base::Instant now) {
    return NoLookBack(desk::withdraw_light(writer, light, because, by, now));
  });
}

Response give_back(const Call& call, const RecordsDesk& desk) {
  return act(call, desk, [](store::Writer& writer, base::LightId light, base::Instant now) {
    desk::return_light(writer, light, now);
    return NoLookBack();
  });
}

/// What is wrong with the backup of the day, for a lead; null where nothing is. Files are named to one who leads
/// everywhere: they may be another site's.
json backup_json(const RecordsDesk& desk, const practice::Member& member) {
  if (desk.backups == nullptr || member.role != practice::Role::kLead) return nullptr;
  const BackupNews news = desk.backups->news();
  if (!news.trouble.empty()) {
    return {{"sentence", "The backup of the day could not be made: " + news.trouble}, {"files", json::array()}};
  }
  if (news.lost.empty()) return nullptr;
  json files = json::array();
  for (const store::LostFile& file : news.lost) {
    if (member.everywhere) files.push_back("“" + file.name + "”: " + store::told(file));
  }
  const std::string many = news.lost.size() == 1 ? "a file" : std::to_string(news.lost.size()) + " files";
  return {{"sentence", "The backup of the day lacks " + many +
                           " and has all else. Attach the same again, or take it out of an earlier backup: whole ones "
                           "are kept."},
          {"files", files}};
}

Response today(const Call& call, const RecordsDesk& desk) {
  const base::Instant now = desk.settings.now();
  json document;
  desk.records->read([&](const store::Reader& reader) {
    desk::LightsNow lights(reader, desk.lights);
    const desk::Today today = desk::today(lights, member_of(call), now);
    json due = json::array();
    for (const desk::DueRow& row : today.due) {
      due.push_back({{"light", row.light.number},
                     {"name", row.name},
                     {"room_name", row.room_name},
                     {"due", row.due ? json(base::instant_text(*row.due)) : json(nullptr)},
                     {"overdue_days", row.overdue_days}});
    }
    json wrong = json::array();
    for (const desk::WrongRow& row : today.wrong) {
      wrong.push_back({{"light", row.light.number},
                       {"name", row.name},
                       {"room_name", row.room_name},
                       {"state", desk::word(row.state)},
                       {"sentence", row.sentence}});
    }
    json runs_out = json::array();
    for (const desk::RunsOutRow& row : today.runs_out) {
      runs_out.push_back({{"what", desk::word(row.what)},
                          {"name", row.name},
                          {"light", row.light ? json(row.light->number) : json(nullptr)},
                          {"until", base::instant_text(row.until)},
                          {"over", row.over}});
    }
    json changed = json::array();
    for (const desk::ChangedRow& row : today.changed) {
      json done_to = json::array();
      for (const desk::ChangedLight& one : row.lights) {
        done_to.push_back({{"light", one.light.number}, {"name", one.name}});
      }
      changed.push_back({{"at", base::instant_text(row.at)},
                         {"name", name_of(reader, row.person)},
                         {"sentence", row.sentence},
                         {"lights", done_to}});
    }
    json look_backs = json::array();
    for (const desk::OpenLookBack& row : today.look_backs) {
      look_backs.push_back({{"id", row.id.number},
                            {"light", row.light.number},
                            {"name", row.name},
                            {"open", true},
                            {"undecided", row.undecided}});
    }
    document = {{"at", base::instant_text(now)},
                {"sentence", today.sentence},
                {"lights", today.lights},
                {"due", due},
                {"wrong", wrong},
                {"runs_out", runs_out},
                {"changed", changed},
                {"look_backs", look_backs},
                {"backup", backup_json(desk, member_of(call))}};
  });
  return json_response(200, document.dump(-1, ' ', false, json::error_handler_t::replace) + "\n");
}

}  // namespace

std::vector<Route> fleet_routes(const RecordsDesk& desk) {
  std::vector<Route> routes;
  const auto on = [&](auto work) { return on_desk(desk, [desk, work](const Call& call) { return work(call, desk); }); };
  routes.push_back({Method::get, "/api/today", Access::signed_in, "What is due, what is wrong, what changed.",
                    on(today), true, "", "Today"});
  routes.push_back({Method::get, "/api/fleet", Access::signed_in, "The lights, how each stands and what it gives.",
                    on(list), true, "", "Fleet"});
  routes.push_back({Method::get, "/api/fleet/{id}", Access::signed_in,
                    "A light's page: readings, charts, forecast, papers.", on(page), true, "", "FleetLight"});
  routes.push_back({Method::post, "/api/fleet/{id}/accept", Access::lead,
                    "Accepts a light whose papers are complete, for use.", on(accept), true, "", "LightStands"});
  routes.push_back({Method::post, "/api/fleet/{id}/refuse", Access::lead, "Refuses a light, with the reason.",
                    on(refuse), true, "Because", "LightStands"});
  routes.push_back({Method::post, "/api/fleet/{id}/withdraw", Access::clinician,
                    "Takes a light out of use for cause; opens a look-back.", on(withdraw), true, "Because",
                    "LightStands"});
  routes.push_back({Method::post, "/api/fleet/{id}/return", Access::lead,
                    "Returns a withdrawn light to use, after its good checks.", on(give_back), true, "",
                    "LightStands"});
  return routes;
}

}  // namespace throughcure::service
