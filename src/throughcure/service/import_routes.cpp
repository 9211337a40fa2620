#include "throughcure/service/import_routes.hpp"

#include <memory>
#include <utility>

#include <nlohmann/json.hpp>

#include "throughcure/base/problem.hpp"
#include "throughcure/base/utf8.hpp"
#include "throughcure/desk/import.hpp"
#include "throughcure/desk/import_told.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/exchange/field_text.hpp"
#include "throughcure/service/import_json.hpp"
#include "throughcure/service/uploaded_name.hpp"

namespace throughcure::service {

namespace {

/// Every route is a clinician's; the fleet's kinds are the lead's alone.
void must_import(const Call& call, desk::ImportKind kind) {
  const bool of_clinicians = kind == desk::ImportKind::kRestoration || kind == desk::ImportKind::kLot;
  if (of_clinicians || (call.session && may_use(*call.session, Access::lead))) return;
  throw desk::Forbidden("Only the lead, signed in by password, imports a " + std::string(desk::word(kind)) +
                        " list. A clinician imports restorations and lots of materials.");
}

desk::Importer importer_of(const Call& call, const RecordsDesk& desk) {
  return {.member = member_of(call), .now = desk.settings.now()};
}

const std::string& id_of(const Call& call) { return call.parameters.at("id"); }

desk::ImportPreview preview_of(const ImportDraft& draft, const Call& call, const RecordsDesk& desk) {
  desk::ImportPreview preview;
  desk.records->read([&](const store::Reader& reader) {
    preview = desk::preview_import(reader, *draft.sheet, draft.settings, importer_of(call, desk));
  });
  return preview;
}

Response upload(const Call& call, const RecordsDesk& desk, ImportDrafts& drafts) {
  const auto kind = desk::import_kind_called(text_in_query(call, "kind").value_or(""));
  if (!kind) {
    base::refuse("kind", "it is no kind that can be imported", "Name reading, light, radiometer, restoration or lot");
  }
  must_import(call, *kind);
  ImportDraft draft{.id = {},
                    .person = member_of(call).person,
                    .file_name = exchange::cut_short(uploaded_name(call), exchange::kMostFieldBytes),
                    .sheet = {},
                    .settings = {.kind = *kind}};
  if (!base::is_utf8(draft.file_name)) {
    base::refuse("x-file-name", "the file's name is no text (not UTF-8)", "Give the file a plain name");
  }
  base::Problems problems;
  auto sheet = exchange::read_sheet(call.request.body, draft.file_name, problems);
  base::refuse_if_any(problems);
  if (!sheet) throw base::Failure("a file was neither read nor refused");
  draft.sheet = std::make_shared<const exchange::Sheet>(*std::move(sheet));
  const desk::ImportPreview preview = preview_of(draft, call, desk);
  draft.id = drafts.add(draft.person, draft.file_name, draft.sheet, draft.settings, desk.settings.now());
  return json_response(201, import_preview_json(draft, preview));
}

Response change(const Call& call, const RecordsDesk& desk, ImportDrafts& drafts) {
  ImportDraft draft = drafts.find(id_of(call), member_of(call).person, desk.settings.now());
  draft.settings = import_settings(call.request.body);
  must_import(call, draft.settings.kind);
  const desk::ImportPreview preview = preview_of(draft, call, desk);
  drafts.change(draft.id, draft.person, draft.settings, desk.settings.now());
  return json_response(200, import_preview_json(draft, preview));
}

/// What was kept, as the answer is remembered: with the lights that were read in place of what is said of them, which
/// is worked out when nothing waits for it any more.
std::string kept_json(desk::ImportKind kind, const desk::ImportKept& kept) {
  nlohmann::json lights = nlohmann::json::array();
  for (const base::LightId light : kept.lights_read) lights.push_back(light.number);
  return nlohmann::json{{"kind", desk::word(kind)},
                        {"added", kept.added},
                        {"already", kept.already},
                        {"left_out", kept.left_out},
                        {"lights_read", lights}}
      .dump();
}

/// The same with the lights to look at, as they stand.
std::string told_json(const std::string& kept, const RecordsDesk& desk) {
  nlohmann::json document = nlohmann::json::parse(kept);
  std::vector<base::LightId> lights;
  for (const nlohmann::json& light : document.at("lights_read")) lights.push_back({light.get<std::int64_t>()});
  document.erase("lights_read");
  nlohmann::json& look_at = document["look_at"] = nlohmann::json::array();
  if (!lights.empty()) {
    desk.records->read([&](const store::Reader& reader) {
      desk::LightsNow now(reader, desk.lights);
      for (const desk::LightToLookAt& one : desk::lights_to_look_at(now, lights, desk.settings.now())) {
        look_at.push_back({{"light", one.light.number}, {"name", one.name}, {"sentence", one.sentence}});
      }
    });
  }
  return document.dump() + "\n";
}

Response keep(const Call& call, const RecordsDesk& desk, ImportDrafts& drafts) {
  std::string kept;
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    kept = once(writer, call, [&] {
      const ImportDraft draft = drafts.find(id_of(call), member_of(call).person, desk.settings.now());
      must_import(call, draft.settings.kind);
      return kept_json(draft.settings.kind,
                       desk::keep_import(writer, *draft.sheet, draft.settings, importer_of(call, desk)));
    });
  });
  drafts.drop(id_of(call), member_of(call).person);
  return json_response(201, told_json(kept, desk));
}

Response forget(const Call& call, const RecordsDesk& desk, ImportDrafts& drafts) {
  const ImportDraft draft = drafts.find(id_of(call), member_of(call).person, desk.settings.now());
  drafts.drop(draft.id, draft.person);
  return {204, {}, {}};
}

}  // namespace

std::vector<Route> import_routes(const RecordsDesk& desk, ImportDrafts& drafts) {
  const auto on = [&](auto work) {
    return on_desk(desk, [desk, &drafts, work](const Call& call) { return work(call, desk, drafts); });
  };
  Route in{Method::post,
           "/api/imports",
           Access::clinician,
           "Takes a spreadsheet (CSV) in and says what it would become; the body is its bytes, the header x-file-name "
           "its name. Nothing is kept yet.",
           on(upload),
           true,
           "",
           "ImportPreview",
           "kind"};
  in.most_body_bytes = exchange::SheetLimits{}.bytes;
  return {
      std::move(in),
      {Method::put, "/api/imports/{id}", Access::clinician,
       "Says how the file is to be read: columns, values for all rows, the order of dates, rows to leave out.",
       on(change), true, "ImportSettings", "ImportPreview"},
      {Method::post, "/api/imports/{id}/keep", Access::clinician,
       "Adds all rows that were understood, or none: while a question or a wrong row stands it is refused. Says which "
       "lights want a check, by their newest reading or their charts; nothing is done to them.",
       on(keep), true, "", "ImportKept"},
      {Method::del, "/api/imports/{id}", Access::clinician, "Forgets the file.", on(forget)}};
}

}  // namespace throughcure::service
