#include "throughcure/service/restoration_routes.hpp"

#include <algorithm>
#include <map>
#include <optional>
#include <string>
#include <utility>

#include <nlohmann/json.hpp>

#include "throughcure/base/problem.hpp"
#include "throughcure/desk/light_rooms.hpp"
#include "throughcure/desk/look_backs.hpp"
#include "throughcure/desk/planning_files.hpp"
#include "throughcure/desk/record_rules.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/desk/today.hpp"
#include "throughcure/desk/verdict_policy.hpp"
#include "throughcure/exchange/case_bundle.hpp"
#include "throughcure/exchange/json_text.hpp"
#include "throughcure/exchange/resolved_case.hpp"
#include "throughcure/exchange/verdict_document.hpp"
#include "throughcure/practice/material.hpp"
#include "throughcure/practice/restoration.hpp"
#include "throughcure/service/body.hpp"
#include "throughcure/service/json_value.hpp"
#include "throughcure/service/plan_answer.hpp"
#include "throughcure/service/plan_request.hpp"
#include "throughcure/service/record_json.hpp"

namespace throughcure::service {

namespace {

using exchange::plain;
using exchange::PlainTable;
using nlohmann::json;

json path_or_null(const std::optional<std::string>& name, std::string (*path)(std::string_view)) {
  return name ? json(path(*name)) : json(nullptr);
}

json light_row(const desk::LightLine& view) {
  json tips = json::array();
  for (const auto& tip : view.record->tips) {
    tips.push_back({{"id", tip.id.number}, {"name", tip.record.name}, {"diameter_mm", tip.record.diameter_mm}});
  }
  json today = nullptr;
  // Without a reading it is the claim alone: no reason to plan with less than the light's file says.
  if (view.has_readings) {
    const fleet::OutputSpread& output = view.output.today;
    today = {{"p10", output.p10}, {"p50", output.p50}, {"p90", output.p90}};
  }
  return {{"id", view.record->light.id.number},
          {"name", view.record->light.record.name},
          {"room_name", view.record->room.record.name},
          {"state", desk::word(view.state.state)},
          {"why", view.state.why},
          {"overdue", view.state.overdue},
          {"file", path_or_null(view.record->light.record.file, desk::light_planning_file)},
          {"today", today},
          {"tips", tips}};
}

json material_rows(const store::Reader& reader) {
  std::map<std::int64_t, json> lots;
  for (const auto& lot : reader.list<practice::Lot>({.where = {}, .order_by = "number", .limit = desk::kAllOfThem})) {
    const auto& expires = lot.record.expires_at;
    lots[lot.record.material.number].push_back(
        {{"number", lot.record.number}, {"expires_at", expires ? json(base::instant_text(*expires)) : json(nullptr)}});
  }
  json rows = json::array();
  for (const auto& material :
       reader.list<practice::MaterialEntry>({.where = {}, .order_by = "name", .limit = desk::kAllOfThem})) {
    const auto of_it = lots.find(material.id.number);
    rows.push_back({{"id", material.id.number},
                    {"name", material.record.name},
                    {"shade", material.record.shade},
                    {"file", path_or_null(material.record.file, desk::material_planning_file)},
                    {"ifu_seconds", or_null(material.record.ifu_seconds)},
                    {"ifu_increment_mm", or_null(material.record.ifu_increment_mm)},
                    {"lots", of_it == lots.end() ? json::array() : of_it->second}});
  }
  return rows;
}

Response sheet(const Call& call, const RecordsDesk& desk) {
  const base::Instant now = desk.settings.now();
  json lights = json::array();
  json materials;
  desk.records->read([&](const store::Reader& reader) {
    desk::LightsNow all(reader, desk.lights);
    for (const base::LightId light : desk::lights_of(desk::Places(reader), member_of(call))) {
      lights.push_back(light_row(all.line(light, now)));
    }
    materials = material_rows(reader);
  });
  const json document{{"at", base::instant_text(now)}, {"lights", lights}, {"materials", materials}};
  return json_response(200, document.dump(-1, ' ', false, json::error_handler_t::replace) + "\n");
}

/// What was said of the restoration beside its case.
struct Said {
  std::string chart;
  std::string surfaces;
  base::LightId light;
  base::TipId tip;
  std::optional<base::MaterialId> material;
  std::string lot;
  std::optional<base::Instant> placed_at;
  std::optional<std::string> note;
};

struct Sent {
  PlainTable document;
  Said said;
};

Sent take_apart(const std::string& body) {
  base::Problems problems;
  auto all = exchange::parse_json(body, "request", problems);
  if (!all) throw base::InputError(std::move(problems));
  const auto found = std::ranges::find(*all, "document", &exchange::PlainMember::key);
  auto* const table = found == all->end() ? nullptr : std::get_if<PlainTable>(&found->value.is);
  if (table == nullptr) base::refuse("document", "it is missing or no object", "Send the case's document");
  Sent sent{std::move(*table), {}};
  all->erase(found);
  const Body beside(exchange::json_text(*all));
  Said& said = sent.said;
  said.chart = beside.text("chart");
  said.surfaces = beside.text("surfaces");
  said.light = {beside.whole("light")};
  said.tip = {beside.whole("tip")};
  const bool names_material = std::ranges::find(*all, "material", &exchange::PlainMember::key) != all->end();
  if (names_material) said.material = base::MaterialId{beside.whole("material")};
  said.lot = beside.text_or_none("lot").value_or("");
  const auto placed_at = beside.text_or_none("placed_at");
  said.note = beside.text_or_none("note");
  beside.finish();
  if (placed_at) {
    said.placed_at = read_instant(*placed_at);
    if (!said.placed_at) base::refuse("placed_at", "it is no instant", "Write it as 2026-11-26T08:30:00Z");
  }
  return sent;
}

/// The light's file as the case names it; empty where it names none.
std::string light_file(const PlainTable& document) {
  const auto light = std::ranges::find(document, "light", &exchange::PlainMember::key);
  const auto* const part = light == document.end() ? nullptr : std::get_if<PlainTable>(&light->value.is);
  if (part == nullptr) return {};
  const auto file = std::ranges::find(*part, "file", &exchange::PlainMember::key);
  const auto* const name = file == part->end() ? nullptr : std::get_if<std::string>(&file->value.is);
  return name == nullptr ? std::string() : *name;
}

/// Refuses what does not go together, before anything is worked out.
void must_fit(const store::Reader& reader, const Call& call, const Sent& sent) {
  const auto light = reader.get<fleet::LightEntry>(sent.said.light);
  if (!light || !member_of(call).sees(desk::Places(reader).site_of(sent.said.light))) {
    throw desk::Missing("There is no light of that number here.");
  }
  const auto tip = reader.get<fleet::TipEntry>(sent.said.tip);
  if (!tip || tip->record.light != sent.said.light) {
    base::refuse("tip", "it is no tip of " + light->record.name, "Choose one of its tips");
  }
  const std::string planned = light_file(sent.document);
  if (light->record.file && desk::light_planning_file(*light->record.file) != planned) {
    base::refuse("light", light->record.name + " is not the light that the case was planned with (" + planned + ")",
                 "Choose it in the case, or record the light that was planned with");
  }
  if (sent.said.material && !reader.get<practice::MaterialEntry>(*sent.said.material)) {
    base::refuse("material", "there is no material of that number", "Choose one of the list");
  }
}

std::string material_name(const store::Reader& reader, const Said& said, const plan::Case& c) {
  if (!said.material) return c.materials.at(c.increment_materials.at(0)).name;
  const auto kept = reader.get<practice::MaterialEntry>(*said.material);
  if (!kept) return {};
  return kept->record.shade.empty() ? kept->record.name : kept->record.name + ", " + kept->record.shade;
}

/// The case as it is kept: with the hashes of its files, which are kept on the way.
std::string kept_case(store::Writer& writer, const Sent& sent, const plan::Case& c,
                      const exchange::BundledFiles& files) {
  exchange::KeptDocument kept{exchange::without_patient(sent.document), {}, exchange::resolved_case(c)};
  std::erase_if(kept.resolved, [](const exchange::PlainMember& part) { return part.key == "patient"; });
  for (const auto& [path, bytes] : files) kept.files.emplace(path, writer.keep_file(path, bytes));
  return exchange::kept_document_json(kept);
}

/// What was made, without its case and its verdict. Refuses what cannot be kept so.
practice::Restoration made_of(const store::Reader& reader, const Call& call, const Said& said, const plan::Case& c,
                              base::Instant now) {
  const bool bare = c.barrier_pass.value >= 1;
  const base::Instant placed_at = said.placed_at.value_or(now);
  practice::Restoration made{.chart = said.chart,
                             .tooth = std::to_string(c.site.tooth.iso()),
                             .surfaces = said.surfaces,
                             .placed_at = placed_at,
                             .placed_by = member_of(call).person,
                             .light = said.light,
                             .tip = said.tip,
                             .material = material_name(reader, said, c),
                             .lot = said.lot,
                             .barrier_pass = bare ? std::nullopt : std::optional(c.barrier_pass.value),
                             .resolved_case = {},
                             .probability = {},
                             .seed = {},
                             .engine = {},
                             .note = said.note,
                             .room = desk::LightRooms(reader).at(said.light, placed_at)};
  if (!member_of(call).sees(desk::Places(reader).site_of(made.room, made.light))) {
    base::refuse("light", "it was at another site then, where this restoration belongs",
                 "Correct when it was placed, note on the light's page that it came back, or have it recorded there");
  }
  base::refuse_if_any(desk::record_problems(store::table_of<practice::Restoration>(), base::values_of(made)));
  return made;
}

/// Writes it, with its case; gives the document to answer with.
std::string keep(store::Writer& writer, practice::Restoration made, std::string kept, const RecordedVerdict& verdict,
                 const std::string& engine) {
  made.resolved_case = std::move(kept);
  made.probability = verdict.probability;
  made.seed = static_cast<std::int64_t>(verdict.seed);
  made.engine = engine;
  base::refuse_if_any(desk::record_problems(store::table_of<practice::Restoration>(), base::values_of(made)));
  const base::RestorationId id = writer.add(made);
  desk::reopen_where_undecided(writer, made.light);
  PlainTable told{{"id", plain(static_cast<std::size_t>(id.number))},
                  {"tooth", plain(made.tooth)},
                  {"probability_se", plain(verdict.probability_se)},
                  {"probability", plain(verdict.probability)}};
  for (const exchange::PlainMember& part : verdict.document) {
    if (part.key == "sentence" || part.key == "verdict") told.push_back(part);
  }
  return exchange::to_json(told) + "\n";
}

Response record(const Call& call, const RecordsDesk& desk, PlanRoom& room, const base::Running& running) {
  const Sent sent = take_apart(call.request.body);
  const exchange::CaseFiles readers = room.files.case_files();
  desk.records->read([&](const store::Reader& reader) { must_fit(reader, call, sent); });
  PlanRequest request =
      read_plan_request(exchange::json_text({{"document", plain(sent.document)}}), PlanQuestion::kVerdict, readers);
  const base::Instant now = desk.settings.now();
  // All that can be refused is, before anybody waits for the verdict.
  desk.records->read([&](const store::Reader& reader) {
    made_of(reader, call, sent.said, request.c, now);
    request.policy = desk::verdict_policy(desk::Policy(reader), room.knowledge.priors.policy);
  });
  const exchange::BundledFiles files = exchange::files_of_case(sent.document, readers);
  const RecordedVerdict verdict = recorded_verdict(request, room.cases, running);
  std::string document;
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    must_fit(writer, call, sent);
    document = once(writer, call, [&] {
      return keep(writer, made_of(writer, call, sent.said, request.c, now), kept_case(writer, sent, request.c, files),
                  verdict, desk.settings.engine);
    });
  });
  return json_response(201, document);
}

}  // namespace

std::vector<Route> restoration_routes(const RecordsDesk& desk, const std::shared_ptr<PlanRoom>& room, Jobs& jobs) {
  std::vector<Route> routes;
  routes.push_back({Method::get, "/api/restoration-sheet", Access::signed_in,
                    "What a restoration is planned and recorded with: the practice's lights, as they are today, and "
                    "its pastes.",
                    on_desk(desk, [desk](const Call& call) { return sheet(call, desk); }), true, "",
                    "RestorationSheet"});
  routes.push_back({Method::post, "/api/plan/record", Access::clinician,
                    "Records a restoration as it was done: its case and files are kept, and its verdict worked out.",
                    on_desk_by_job(desk, jobs,
                                   [desk, room](const Call& call, const base::Running& running) {
                                     return record(call, desk, *room, running);
                                   }),
                    true, "NewRestoration", "RecordedRestoration"});
  return routes;
}

}  // namespace throughcure::service
