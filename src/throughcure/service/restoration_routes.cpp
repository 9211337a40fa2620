#include "throughcure/service/restoration_routes.hpp"

#include <algorithm>
#include <optional>
#include <string>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/desk/light_rooms.hpp"
#include "throughcure/desk/look_backs.hpp"
#include "throughcure/desk/planning_files.hpp"
#include "throughcure/desk/record_rules.hpp"
#include "throughcure/desk/verdict_policy.hpp"
#include "throughcure/exchange/case_bundle.hpp"
#include "throughcure/exchange/json_text.hpp"
#include "throughcure/exchange/resolved_case.hpp"
#include "throughcure/exchange/verdict_document.hpp"
#include "throughcure/practice/restoration.hpp"
#include "throughcure/service/body.hpp"
#include "throughcure/service/made_checks.hpp"
#include "throughcure/service/plan_answer.hpp"
#include "throughcure/service/plan_request.hpp"
#include "throughcure/service/record_json.hpp"
#include "throughcure/service/restoration_sheet.hpp"
#include "throughcure/service/unplanned_route.hpp"

namespace throughcure::service {

namespace {

using exchange::plain;
using exchange::PlainTable;

/// What was said of the restoration beside its case.
struct Said {
  std::string chart;
  std::string surfaces;
  base::LightId light;
  base::TipId tip;
  std::optional<base::MaterialId> material;
  std::optional<base::PersonId> placed_by;
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
  const auto material = beside.whole_or_none("material");
  if (material) said.material = base::MaterialId{*material};
  const auto placed_by = beside.whole_or_none("placed_by");
  if (placed_by) said.placed_by = base::PersonId{*placed_by};
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
void must_fit(const MadeCheck& check, const Sent& sent) {
  const fleet::LightEntry light = light_then(check, sent.said.light, sent.said.placed_at.value_or(check.now));
  must_be_its_tip(check, sent.said.tip, sent.said.light, light.name);
  const std::string planned = light_file(sent.document);
  if (light.file && desk::light_planning_file(*light.file) != planned) {
    base::refuse("light", light.name + " is not the light that the case was planned with (" + planned + ")",
                 "Choose it in the case, or record the light that was planned with");
  }
  if (sent.said.material) material_words(check, *sent.said.material);
}

std::string material_name(const MadeCheck& check, const Said& said, const plan::Case& c) {
  return said.material ? material_words(check, *said.material) : c.materials.at(c.increment_materials.at(0)).name;
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
practice::Restoration made_of(const MadeCheck& check, const Said& said, const plan::Case& c) {
  const bool bare = c.barrier_pass.value >= 1;
  const base::Instant placed_at = said.placed_at.value_or(check.now);
  must_be_over(check, placed_at);
  practice::Restoration made{.chart = said.chart,
                             .tooth = std::to_string(c.site.tooth.iso()),
                             .surfaces = said.surfaces,
                             .placed_at = placed_at,
                             .placed_by = operator_of(check, said.placed_by),
                             .light = said.light,
                             .tip = said.tip,
                             .material = material_name(check, said, c),
                             .lot = said.lot,
                             .barrier_pass = bare ? std::nullopt : std::optional(c.barrier_pass.value),
                             .resolved_case = {},
                             .probability = {},
                             .seed = {},
                             .engine = {},
                             .note = said.note,
                             .room = desk::LightRooms(check.reader).at(said.light, placed_at)};
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
  const base::Instant now = desk.settings.now();
  const auto by = [&](const store::Reader& reader) {
    return MadeCheck{.reader = reader, .member = member_of(call), .now = now};
  };
  desk.records->read([&](const store::Reader& reader) { must_fit(by(reader), sent); });
  PlanRequest request =
      read_plan_request(exchange::json_text({{"document", plain(sent.document)}}), PlanQuestion::kVerdict, readers);
  // All that can be refused is, before anybody waits for the verdict.
  desk.records->read([&](const store::Reader& reader) {
    made_of(by(reader), sent.said, request.c);
    request.policy = desk::verdict_policy(desk::Policy(reader), room.knowledge.priors.policy);
  });
  const exchange::BundledFiles files = exchange::files_of_case(sent.document, readers);
  const RecordedVerdict verdict = recorded_verdict(request, room.cases, running);
  std::string document;
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    must_fit(by(writer), sent);
    document = once(writer, call, [&] {
      return keep(writer, made_of(by(writer), sent.said, request.c), kept_case(writer, sent, request.c, files), verdict,
                  desk.settings.engine);
    });
  });
  return json_response(201, document);
}

}  // namespace

std::vector<Route> restoration_routes(const RecordsDesk& desk, const std::shared_ptr<PlanRoom>& room, Jobs& jobs) {
  std::vector<Route> routes;
  routes.push_back({Method::get, "/api/restoration-sheet", Access::signed_in,
                    "What a restoration is planned and recorded with: the practice's lights, as they are today, and "
                    "its pastes, barriers and people; of one on record (made) also what that names.",
                    on_desk(desk, [desk](const Call& call) { return restoration_sheet(call, desk); }), true, "",
                    "RestorationSheet", "made"});
  routes.push_back(unplanned_route(desk));
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
