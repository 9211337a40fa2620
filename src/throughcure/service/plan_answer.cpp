#include "throughcure/service/plan_answer.hpp"

#include <algorithm>
#include <mutex>
#include <utility>
#include <vector>

#include "throughcure/anatomy/state_meshes.hpp"
#include "throughcure/draw/picture_json.hpp"
#include "throughcure/draw/section_picture.hpp"
#include "throughcure/exchange/mesh_json.hpp"
#include "throughcure/exchange/verdict_document.hpp"
#include "throughcure/plan/aim.hpp"
#include "throughcure/plan/cautions.hpp"
#include "throughcure/plan/field.hpp"
#include "throughcure/plan/judge.hpp"
#include "throughcure/plan/mend.hpp"
#include "throughcure/plan/pose.hpp"
#include "throughcure/plan/solve.hpp"
#include "throughcure/plan/why.hpp"
#include "throughcure/service/rising_progress.hpp"

namespace throughcure::service {

namespace {

using exchange::plain;
using exchange::PlainList;
using exchange::PlainTable;
using exchange::PlainValue;

constexpr double kPagePrecision = 0.05;
constexpr std::uint64_t kFieldPaths = 1600;

/// About so many steps are in these parts of an answer.
constexpr unsigned kReadyingSteps = 6;
constexpr unsigned kMendSteps = 12;

plan::SolveEffort page_effort() {
  plan::SolveEffort effort;
  effort.precision = kPagePrecision;
  effort.most_paths = 60'000;
  return effort;
}

PlainValue point(const base::Point& p) { return plain(PlainList{plain(p.x), plain(p.y), plain(p.z)}); }
PlainValue vector(const base::Direction& d) { return plain(PlainList{plain(d.x), plain(d.y), plain(d.z)}); }

/// The verdict, from few draws and the paths that are there while a tip is dragged.
plan::Verdict verdict_of(desk::KeptCase& kept, const PlanRequest& request, const base::Running& running) {
  const plan::Ground& ground = *kept.ground;
  const std::vector<plan::Exposure>& schedule = request.c.schedule;
  const plan::SolveEffort effort = page_effort();
  if (request.dragging) {
    plan::walk_missing(kept.rays, ground, plan::places_of(ground.targets), schedule,
                       {.paths = effort.first_paths, .seed = effort.seed}, running);
    return plan::judge(ground, kept.rays, schedule,
                       plan::fluence_of(ground, kept.rays, schedule, kDraggedLight, running));
  }
  plan::Solution solution = plan::solve(ground, schedule, effort, running, kept.rays);
  kept.rays = std::move(solution.rays);
  return std::move(solution.verdict);
}

/// Cuts run through the middle of what was cut, so that the cut stays where it is while a tip is dragged.
anatomy::CuttingPlane cut_of(const plan::Ground& ground, anatomy::CutDirection direction) {
  if (direction == anatomy::CutDirection::kMesiodistal) return {direction, 0};
  const std::vector<plan::Aim> aims = plan::aims(ground.c.site);
  return {direction, aims.empty() ? 0 : aims.front().at.x};
}

PlainValue section_document(const draw::SectionBase& base) {
  const anatomy::SectionPlane& plane = base.scale.plane;
  return plain(
      PlainTable{{"corner_mm", point(plane.corner)},
                 {"right", vector(plane.right)},
                 {"down", vector(plane.down)},
                 {"picture_origin_mm", plain(PlainList{plain(base.scale.corner.x_mm), plain(base.scale.corner.y_mm)})},
                 {"picture_mm_per_mm", plain(base.scale.per_mm)}});
}

PlainList tips_document(const plan::Ground& ground, const std::vector<plan::Exposure>& schedule,
                        const std::vector<plan::TipPlace>& tips) {
  PlainList list;
  for (std::size_t e = 0; e < tips.size(); ++e) {
    const double to_aim = dot(schedule[e].pose.aim - tips[e].centre, tips[e].axis);
    list.push_back(plain(PlainTable{{"exposure", plain(e)},
                                    {"state", plain(ground.states[schedule[e].state].name)},
                                    {"centre_mm", point(tips[e].centre)},
                                    {"axis", vector(tips[e].axis)},
                                    {"radius_mm", plain(tips[e].radius_mm)},
                                    {"half_angle_deg", plain(tips[e].half_angle_deg)},
                                    {"aim_mm", point(schedule[e].pose.aim)},
                                    {"standoff_mm", plain(schedule[e].pose.standoff_mm)},
                                    {"distance_to_floor_mm", plain(to_aim)}}));
  }
  return list;
}

PlainList cautions_of(const plan::Case& c) {
  PlainList list;
  for (const plan::Caution& one : plan::cautions(c.patient)) {
    list.push_back(plain(PlainTable{{"act", plain(one.act == plan::Act::kLight ? "light" : "plan")},
                                    {"sentence", plain(one.sentence)}}));
  }
  return list;
}

/// A document with more members, as one JSON object; `more` are JSON already.
std::string joined(const PlainTable& document, const std::vector<std::pair<std::string, std::string>>& more) {
  std::string text = exchange::to_json(document);
  text.pop_back();
  for (const auto& [key, json] : more) text.append(",\"").append(key).append("\":").append(json);
  return text + "}";
}

}  // namespace

std::string verdict_answer(const PlanRequest& request, desk::KeptCases& cases, Drawings& drawings,
                           const base::Running& whole) {
  RisingProgress progress(whole);
  const std::shared_ptr<desk::KeptCase> kept =
      cases.of(request.key, request.c, progress.part({}, 0.1, kReadyingSteps), request.policy);
  const std::scoped_lock lock(kept->working);
  const plan::Ground& ground = *kept->ground;
  const std::vector<plan::Exposure>& schedule = request.c.schedule;
  const plan::Verdict verdict = verdict_of(*kept, request, progress.part({}, 0.5, 2));
  const base::Running running = progress.part({}, 1, 1);

  const std::size_t shown = std::min(request.exposure.value_or(schedule.size() - 1), schedule.size() - 1);
  const anatomy::CuttingPlane cut = cut_of(ground, request.cut);
  plan::Rays& field_rays = kept->field_rays[{cut.direction, cut.at_mm}];
  plan::walk_field(field_rays, ground, cut, schedule, kFieldPaths, running);
  const std::vector<plan::TipPlace> tips = plan::tip_places(ground, schedule);

  draw::SectionShown what;
  what.field = plan::field(ground, field_rays, schedule, running);
  what.cells = verdict.cells;
  what.worst = verdict.worst;
  what.tips = {tips[shown]};
  what.criterion = ground.priors.criterion.hardness_ratio.value;
  what.through_from = ground.priors.policy.through_cured_from.value;
  what.under_to = ground.priors.policy.under_cured_to.value;
  // The kept case may have been asked for in another notation first: the drawing is named as this question names it.
  const anatomy::Site& site = request.c.site;
  const std::string key = request.key + std::to_string(schedule[shown].state) +
                          (cut.direction == anatomy::CutDirection::kMesiodistal ? " along " : " across ") +
                          site.tooth.text(site.notation);
  const std::shared_ptr<const draw::SectionBase> base =
      drawings.of(key, [&] { return draw::section_base(site, ground.states[schedule[shown].state], cut); });
  const draw::Picture picture = draw::section_picture(*base, what, request.dark ? draw::kDarkLook : draw::kLightLook);

  PlainTable document = exchange::verdict_document(ground, verdict);
  document.push_back({"dragged", plain(request.dragging)});
  document.push_back({"tips", plain(tips_document(ground, schedule, tips))});
  PlainList states;
  for (const anatomy::SceneState& state : ground.states) states.push_back(plain(state.name));
  document.push_back({"states", plain(std::move(states))});
  PlainList aims;
  for (const plan::Aim& aim : plan::aims(ground.c.site)) {
    aims.push_back(plain(PlainTable{{"name", plain(aim.name)}, {"at_mm", point(aim.at)}}));
  }
  document.push_back({"aims", plain(std::move(aims))});
  document.push_back({"section", section_document(*base)});
  document.push_back({"cautions", plain(cautions_of(request.c))});
  std::vector<std::pair<std::string, std::string>> pictures{{"picture", draw::to_json(picture)}};
  // What is printed is ink on paper, whatever the screen looks like.
  if (request.dark && !request.dragging) {
    pictures.emplace_back("paper_picture", draw::to_json(draw::section_picture(*base, what, draw::kLightLook)));
  }
  return joined(document, pictures);
}

RecordedVerdict recorded_verdict(const PlanRequest& request, desk::KeptCases& cases, const base::Running& running) {
  const std::shared_ptr<desk::KeptCase> kept = cases.of(request.key, request.c, running, request.policy);
  const std::scoped_lock lock(kept->working);
  PlanRequest whole = request;
  whole.dragging = false;
  const plan::Verdict verdict = verdict_of(*kept, whole, running);
  return {exchange::verdict_document(*kept->ground, verdict), verdict.probability, verdict.probability_se,
          page_effort().seed};
}

std::string why_answer(const PlanRequest& request, desk::KeptCases& cases, const base::Running& whole) {
  RisingProgress progress(whole);
  const std::shared_ptr<desk::KeptCase> kept =
      cases.of(request.key, request.c, progress.part({}, 0.1, kReadyingSteps), request.policy);
  const std::scoped_lock lock(kept->working);
  const plan::Ground& ground = *kept->ground;
  const std::vector<plan::Exposure>& schedule = request.c.schedule;
  const plan::SolveEffort effort = page_effort();
  const plan::Solution solution = plan::solve(ground, schedule, effort, progress.part({}, 0.3, 2), kept->rays);
  const plan::Why why = plan::explain(ground, schedule, solution.verdict.worst, solution, effort,
                                      progress.part("taking the causes away one by one", 0.5, 1));
  kept->rays = solution.rays;
  const std::vector<plan::Mend> mends = plan::mends(ground, schedule, solution.verdict, kept->rays, effort,
                                                    progress.part("trying what would mend it", 1, kMendSteps));

  PlainTable document = exchange::why_document(ground, why);
  PlainList list;
  for (const plan::Mend& mend : mends) {
    PlainTable changed;
    for (const exchange::PlainMember& part : request.document) {
      if (part.key != "exposure") changed.push_back(part);
    }
    changed.push_back({"exposure", plain(exchange::schedule_document(ground, mend.schedule))});
    PlainTable one = exchange::mend_document(mend);
    one.push_back({"document", plain(std::move(changed))});
    list.push_back(plain(std::move(one)));
  }
  document.push_back({"mends", plain(std::move(list))});
  return exchange::to_json(document);
}

std::string meshes_answer(const PlanRequest& request) {
  const std::vector<anatomy::SceneState> states = anatomy::scene_states(request.c.site);
  const std::size_t state = std::min(request.state.value_or(states.size() - 1), states.size() - 1);
  return exchange::meshes_json(anatomy::state_meshes(request.c.site, states[state]));
}

}  // namespace throughcure::service
