#include "throughcure/exchange/verdict_document.hpp"

#include <nlohmann/json.hpp>

#include "throughcure/exchange/json_text.hpp"
#include "throughcure/plan/aim.hpp"
#include "throughcure/plan/words.hpp"

namespace throughcure::exchange {

namespace {

PlainValue spread(const plan::Spread& s) {
  return plain(PlainTable{{"p10", plain(s.p10)}, {"p50", plain(s.p50)}, {"p90", plain(s.p90)}});
}

PlainValue place(const base::Point& p) { return plain(PlainList{plain(p.x), plain(p.y), plain(p.z)}); }

std::string_view kind_word(anatomy::TargetKind kind) {
  switch (kind) {
    case anatomy::TargetKind::kFloor:
      return "floor";
    case anatomy::TargetKind::kLineAngle:
      return "line angle";
    case anatomy::TargetKind::kMargin:
      return "margin";
    case anatomy::TargetKind::kIncrementBottom:
      return "increment bottom";
    case anatomy::TargetKind::kTop:
      return "top";
  }
  return "";
}

PlainValue cell_document(const plan::CellVerdict& cell) {
  return plain(PlainTable{{"name", plain(cell.target.name)},
                          {"kind", plain(kind_word(cell.target.kind))},
                          {"increment", plain(cell.target.increment + 1)},
                          {"decides", plain(cell.decides)},
                          {"conversion", spread(cell.conversion)},
                          {"share_of_reference", spread(cell.share_of_reference)},
                          {"hardness_ratio", spread(cell.hardness_ratio)},
                          {"probability", plain(cell.probability)},
                          {"relative_se", plain(cell.relative_se)},
                          {"light_j_cm2", plain(cell.light_j_cm2)},
                          {"at_mm", place(cell.target.centre)}});
}

PlainValue worth(const base::Sourced& number) {
  return plain(PlainTable{{"value", plain(number.value)},
                          {"kind", plain(base::word(number.kind))},
                          {"source", plain(std::string_view(number.source))}});
}

PlainValue target_document(const cure::Priors& priors) {
  return plain(PlainTable{{"hardness_ratio", worth(priors.criterion.hardness_ratio)},
                          {"after_h", plain(priors.criterion.after_h.value)},
                          {"reference_exposure_j_cm2", worth(priors.criterion.reference_exposure_j_cm2)},
                          {"reference_depth_mm", worth(priors.criterion.reference_depth_mm)},
                          {"through_cured_from", worth(priors.policy.through_cured_from)},
                          {"under_cured_to", worth(priors.policy.under_cured_to)}});
}

}  // namespace

PlainTable verdict_document(const plan::Ground& ground, const plan::Verdict& verdict) {
  PlainList cells;
  for (const plan::CellVerdict& cell : verdict.cells) cells.push_back(cell_document(cell));
  return {{"sentence", plain(plan::sentence(verdict))},
          {"verdict", plain(plan::word(verdict.word))},
          {"probability", plain(verdict.probability)},
          {"probability_se", plain(verdict.probability_se)},
          {"draws", plain(ground.draws.size())},
          {"effective_draws", plain(ground.effective_draws)},
          {"worst", plain(verdict.cells.empty() ? "" : verdict.cells[verdict.worst].target.name)},
          {"cells", plain(std::move(cells))},
          {"target", target_document(ground.priors)}};
}

PlainTable why_document(const plan::Ground& ground, const plan::Why& why) {
  PlainList order;
  PlainList causes;
  for (const plan::Cause& cause : why.causes) {
    order.push_back(plain(cause.cause));
    causes.push_back(plain(PlainTable{{"cause", plain(cause.cause)},
                                      {"label", plain(cause.label)},
                                      {"share_kept", plain(cause.share_kept)},
                                      {"relative_se", plain(cause.relative_se)},
                                      {"probability_without", plain(cause.probability_without)}}));
  }
  return {{"place", plain(ground.targets[why.place].name)},
          {"order", plain(std::move(order))},
          {"causes", plain(std::move(causes))},
          {"total_kept", plain(why.total_kept)}};
}

PlainTable mend_document(const plan::Mend& mend) {
  return {{"label", plain(mend.label)},
          {"sentence", plain(plan::sentence(mend.verdict))},
          {"verdict", plain(plan::word(mend.verdict.word))},
          {"probability", plain(mend.verdict.probability)},
          {"probability_se", plain(mend.verdict.probability_se)},
          {"extra_seconds", plain(mend.extra_seconds)}};
}

PlainList schedule_document(const plan::Ground& ground, const std::vector<plan::Exposure>& schedule) {
  const std::vector<plan::Aim> aims = plan::aims(ground.c.site);
  PlainList list;
  for (const plan::Exposure& exposure : schedule) {
    const plan::Pose& pose = exposure.pose;
    PlainValue aim = place(pose.aim);
    for (const plan::Aim& named : aims) {
      if (named.at == pose.aim) aim = plain(named.name);
    }
    PlainTable entry{{"state", plain(ground.states.at(exposure.state).name)},
                     {"aim", std::move(aim)},
                     {"from", plain(anatomy::word(pose.from))},
                     {"standoff_mm", plain(pose.standoff_mm)}};
    if (pose.tilt_deg > 0) {
      entry.push_back({"tilt_deg", plain(pose.tilt_deg)});
      entry.push_back({"tilt_to", plain(anatomy::word(pose.tilt_to))});
    }
    entry.push_back({"seconds", plain(exposure.seconds)});
    entry.push_back({"mode", plain(ground.c.light.modes.at(exposure.mode).name)});
    if (exposure.pause_before_s > 0) entry.push_back({"pause_before_s", plain(exposure.pause_before_s)});
    list.push_back(plain(std::move(entry)));
  }
  return list;
}

std::string to_json(const PlainTable& document, int indent) {
  const std::string line = json_text(document);
  return indent < 0 ? line : nlohmann::ordered_json::parse(line).dump(indent);
}

}  // namespace throughcure::exchange
