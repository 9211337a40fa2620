#include "throughcure/service/plan_routes.hpp"

#include <algorithm>
#include <memory>
#include <string_view>
#include <utility>

#include "throughcure/anatomy/tooth_number.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/case_document.hpp"
#include "throughcure/exchange/case_file.hpp"
#include "throughcure/exchange/json_text.hpp"
#include "throughcure/exchange/light_file.hpp"
#include "throughcure/exchange/material_file.hpp"
#include "throughcure/exchange/reference_cure.hpp"
#include "throughcure/exchange/verdict_document.hpp"
#include "throughcure/service/answer_by_job.hpp"
#include "throughcure/service/cavity_choices.hpp"
#include "throughcure/service/pages.hpp"
#include "throughcure/service/plan_answer.hpp"

namespace throughcure::service {

namespace {

namespace fs = std::filesystem;
using exchange::plain;
using exchange::PlainList;
using exchange::PlainTable;

/// The questions about a tip's light: a newer one takes the place of the older, whichever it is.
constexpr const char* kTip = "tip";

std::vector<fs::path> toml_files(const fs::path& folder) {
  std::vector<fs::path> files;
  std::error_code error;
  for (const auto& entry : fs::directory_iterator(folder, error)) {
    if (entry.path().extension() == ".toml") files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  return files;
}

/// A case is asked for by the name of its file, which is looked up here and never put together to a path.
fs::path case_file(const fs::path& folder, const std::string& id) {
  for (const fs::path& file : toml_files(folder)) {
    if (file.stem().string() == id) return file;
  }
  throw NotFound("There is no restoration of this name.");
}

std::string case_list(PlanRoom& room) {
  PlainList list;
  for (const fs::path& file : toml_files(room.folder)) {
    const std::string id = file.stem().string();
    PlainList sentences;
    std::string name = id;
    try {
      base::Problems problems;
      const auto c = exchange::parse_case_json(exchange::case_document_json(file), file.filename().string(),
                                               room.files.case_files(), problems);
      if (c) name = c->name;
      for (const base::Problem& problem : problems) sentences.push_back(plain(base::sentence(problem)));
    } catch (const base::InputError& error) {
      sentences.push_back(plain(std::string_view(error.what())));
    }
    list.push_back(
        plain(PlainTable{{"id", plain(id)}, {"name", plain(name)}, {"problems", plain(std::move(sentences))}}));
  }
  return exchange::to_json({{"restorations", plain(std::move(list))}});
}

std::string one_case(const PlanRoom& room, const std::string& id) {
  const std::string document = exchange::case_document_json(case_file(room.folder, id));
  base::Problems problems;
  const auto parsed = exchange::parse_json(document, id, problems);
  if (!parsed) throw base::InputError(std::move(problems));
  std::string name = id;
  for (const exchange::PlainMember& part : *parsed) {
    const auto* head = std::get_if<PlainTable>(&part.value.is);
    if (part.key != "case" || head == nullptr) continue;
    for (const exchange::PlainMember& said : *head) {
      const auto* text = std::get_if<std::string>(&said.value.is);
      if (said.key == "name" && text != nullptr) name = *text;
    }
  }
  return exchange::to_json({{"id", plain(id)}, {"name", plain(name)}, {"document", plain(*parsed)}});
}

PlainList light_choices(PlanRoom& room) {
  PlainList list;
  for (const fs::path& file : toml_files(room.folder / "lights")) {
    base::Problems problems;
    const auto light = room.files.case_files().light(file, problems);
    if (!light) continue;
    PlainList modes;
    for (const optics::Mode& mode : light->modes) {
      PlainList buttons;
      for (const double button : mode.buttons_s) buttons.push_back(plain(button));
      modes.push_back(plain(PlainTable{{"name", plain(mode.name)}, {"buttons_s", plain(std::move(buttons))}}));
    }
    list.push_back(
        plain(PlainTable{{"file", plain("lights/" + file.filename().string())},
                         {"name", plain(light->name)},
                         {"tip_diameter_mm", plain(light->tip_diameter_mm)},
                         {"exitance_mw_cm2", plain(optics::exitance_mw_cm2(*light, light->radiant_power_mw.value))},
                         {"modes", plain(std::move(modes))}}));
  }
  return list;
}

PlainList material_choices(PlanRoom& room) {
  PlainList list;
  for (const fs::path& file : toml_files(room.folder / "materials")) {
    base::Problems problems;
    const auto material = room.files.case_files().material(file, problems);
    if (!material) continue;
    list.push_back(plain(PlainTable{{"file", plain("materials/" + file.filename().string())},
                                    {"name", plain(material->name)},
                                    {"class", plain(cure::word(material->material_class))},
                                    {"shade", plain(material->shade)}}));
  }
  return list;
}

PlainTable box_document(const anatomy::ProximalBox& box) {
  return {{"floor_below_cusps_mm", plain(box.floor_below_cusps_mm)},
          {"width_mm", plain(box.width_mm)},
          {"axial_depth_mm", plain(box.axial_depth_mm)}};
}

/// The parts of a cavity as a case's document has them.
PlainTable cavity_document(const anatomy::Cavity& cavity) {
  PlainTable parts;
  if (const auto& part = cavity.occlusal) {
    parts.push_back({"occlusal", plain(PlainTable{{"floor_below_cusps_mm", plain(part->floor_below_cusps_mm)},
                                                  {"width_mm", plain(part->width_mm)},
                                                  {"length_mm", plain(part->length_mm)}})});
  }
  if (cavity.mesial) parts.push_back({"mesial", plain(box_document(*cavity.mesial))});
  if (cavity.distal) parts.push_back({"distal", plain(box_document(*cavity.distal))});
  if (const auto& part = cavity.front) {
    parts.push_back({"front", plain(PlainTable{{"side", plain(anatomy::word(part->side))},
                                               {"roof_below_edge_mm", plain(part->roof_below_edge_mm)},
                                               {"floor_below_edge_mm", plain(part->floor_below_edge_mm)},
                                               {"axial_depth_mm", plain(part->axial_depth_mm)},
                                               {"labial_wall_mm", plain(part->labial_wall_mm)}})});
  }
  return parts;
}

PlainList cavities_document(const anatomy::ToothNumber& tooth) {
  PlainList list;
  for (const CavityChoice& choice : cavity_choices(tooth)) {
    PlainList increments;
    for (const anatomy::Increment& one : choice.increments) {
      const bool bulk = one.layering == anatomy::Layering::kBulk;
      PlainTable increment{{"layering", plain(bulk ? "bulk" : "horizontal")}};
      if (!bulk) increment.push_back({"thickness_mm", plain(one.thickness_mm)});
      increments.push_back(plain(std::move(increment)));
    }
    list.push_back(plain(PlainTable{{"name", plain(choice.name)},
                                    {"cavity", plain(cavity_document(choice.cavity))},
                                    {"increment", plain(std::move(increments))}}));
  }
  return list;
}

std::string choices(PlanRoom& room) {
  PlainList barriers{plain("none")};
  for (const exchange::BarrierLoss& barrier : exchange::reference_barriers()) barriers.push_back(plain(barrier.name));
  PlainList teeth;
  for (int number = 11; number <= 48; ++number) {
    const auto tooth = anatomy::ToothNumber::from_iso(number);
    if (!tooth) continue;
    teeth.push_back(plain(PlainTable{{"number", plain(static_cast<std::size_t>(tooth->iso()))},
                                     {"name", plain(tooth->name())},
                                     {"cavities", plain(cavities_document(*tooth))}}));
  }
  return exchange::to_json({{"lights", plain(light_choices(room))},
                            {"materials", plain(material_choices(room))},
                            {"barriers", plain(std::move(barriers))},
                            {"teeth", plain(std::move(teeth))}});
}

/// Names of the API's schemas of a body and of its answer.
struct Described {
  std::string takes{};
  std::string gives{};
};

Route by_job(Method method, std::string pattern, std::string summary, Described described, Jobs& jobs,
             std::function<std::string(const Call&, const base::Running&)> work, std::string drag = {}) {
  return {method,
          std::move(pattern),
          Access::signed_in,
          std::move(summary),
          answer_by_job(jobs, std::move(work), std::move(drag)),
          true,
          std::move(described.takes),
          std::move(described.gives)};
}

/// How far the open question of this person is; {"open": false} when there is none.
Response how_far(const Call& call, const Jobs& jobs) {
  const auto view = jobs.view_of_drag(kTip, call.session.value_or(Session{}).person);
  PlainTable said{{"open", plain(view.has_value())}};
  if (view) {
    said.push_back({"doing", plain(view->doing)});
    said.push_back({"share_done", plain(view->share_done)});
  }
  return text_response(200, "application/json", exchange::to_json(said));
}

Response give_up(const Call& call, Jobs& jobs) {
  jobs.cancel_drag(kTip, call.session.value_or(Session{}).person);  // with none open there is nothing to do
  return {204, {}, {}};
}

/// The document as a case file, at once: nothing is worked out.
Response as_file(const Call& call) {
  try {
    const PlainTable document = read_plan_document(call.request.body);
    return text_response(200, "text/plain; charset=utf-8", exchange::case_document_toml(exchange::json_text(document)));
  } catch (const base::InputError& error) {
    return refusal_json(422, error.what());
  }
}

}  // namespace

std::vector<Route> plan_routes(const std::shared_ptr<PlanRoom>& room, Jobs& jobs, PolicyInForce policy) {
  std::vector<Route> routes;
  const auto asked = [room, policy = std::move(policy)](const Call& call, PlanQuestion question) {
    PlanRequest request = read_plan_request(call.request.body, question, room->files.case_files());
    if (policy) request.policy = policy();
    return request;
  };
  routes.push_back(by_job(Method::get, "/api/restorations", "Every case of the practice, with what is wrong with it.",
                          {.gives = "CaseList"}, jobs,
                          [room](const Call&, const base::Running&) { return case_list(*room); }));
  routes.push_back(by_job(
      Method::get, "/api/restorations/{id}", "One case as the document that the page edits.", {.gives = "OneCase"},
      jobs, [room](const Call& call, const base::Running&) { return one_case(*room, call.parameters.at("id")); }));
  routes.push_back(by_job(Method::get, "/api/choices", "Lights, materials, barriers and teeth to choose from.",
                          {.gives = "Choices"}, jobs,
                          [room](const Call&, const base::Running&) { return choices(*room); }));
  routes.push_back(by_job(
      Method::post, "/api/plan/verdict", "Whether a case cures through, with its section drawing.",
      {.takes = "VerdictQuestion", .gives = "VerdictAnswer"}, jobs,
      [room, asked](const Call& call, const base::Running& running) {
        return verdict_answer(asked(call, PlanQuestion::kVerdict), room->cases, room->drawings, running);
      },
      kTip));
  routes.push_back(by_job(
      Method::post, "/api/plan/why", "What each cause costs, and what would mend it, each solved.",
      {.takes = "CaseQuestion", .gives = "WhyAnswer"}, jobs,
      [room, asked](const Call& call, const base::Running& running) {
        return why_answer(asked(call, PlanQuestion::kWhy), room->cases, running);
      },
      kTip));  // a tip that moves must not wait for the reasons of where it was
  routes.push_back(by_job(
      Method::post, "/api/plan/meshes", "The tooth in one state, for its 3-D view.",
      {.takes = "MeshesQuestion", .gives = "Meshes"}, jobs, [room](const Call& call, const base::Running&) {
        return meshes_answer(read_plan_request(call.request.body, PlanQuestion::kMeshes, room->files.case_files()));
      }));
  routes.push_back({Method::get, "/api/plan/open", Access::signed_in,
                    "How far the open question about a verdict, or why, has been worked out.",
                    at_once([&jobs](const Call& call) { return how_far(call, jobs); }), true, "", "OpenQuestion"});
  routes.push_back({Method::del, "/api/plan/open", Access::signed_in, "Gives up the open question.",
                    at_once([&jobs](const Call& call) { return give_up(call, jobs); })});
  Route file{Method::post, "/api/plan/file", Access::signed_in, "The document as a case file.",
             at_once([](const Call& call) { return as_file(call); })};
  file.takes = "CaseQuestion";
  file.gives_media = "text/plain";
  routes.push_back(std::move(file));
  return routes;
}

}  // namespace throughcure::service
