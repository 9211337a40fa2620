#include "throughcure/exchange/resolved_case.hpp"

#include <algorithm>
#include <string_view>
#include <utility>
#include <vector>

#include "throughcure/anatomy/states.hpp"
#include "throughcure/exchange/resolved_parts.hpp"
#include "throughcure/exchange/toml_text.hpp"

namespace throughcure::exchange {

namespace {

std::string_view word(anatomy::Layering layering) {
  using enum anatomy::Layering;
  switch (layering) {
    case kHorizontal:
      return "horizontal";
    case kObliqueBuccal:
      return "oblique buccal";
    case kObliqueLingual:
      return "oblique lingual";
    case kBulk:
      return "bulk";
  }
  return "";
}

PlainValue tooth(const anatomy::Site& site) {
  PlainTable table{{"number", plain(static_cast<std::size_t>(site.tooth.iso()))},
                   {"notation", plain("ISO 3950")},
                   {"name", plain(site.tooth.name())},
                   {"mesial_neighbour", plain(site.mesial_neighbour)},
                   {"distal_neighbour", plain(site.distal_neighbour)},
                   {"dam", plain(site.restoration.dam)}};
  if (site.gingiva_crest_mm) table.push_back({"gingiva_crest_mm", plain(*site.gingiva_crest_mm)});
  return plain(std::move(table));
}

PlainValue crown(const anatomy::CrownDimensions& s) {
  return plain(PlainTable{{"crown_length", resolved(s.crown_length)},
                          {"mesiodistal", resolved(s.mesiodistal)},
                          {"mesiodistal_cervix", resolved(s.mesiodistal_cervix)},
                          {"buccolingual", resolved(s.buccolingual)},
                          {"buccolingual_cervix", resolved(s.buccolingual_cervix)},
                          {"cusp_height", resolved(s.cusp_height)},
                          {"enamel_at_cusp", resolved(s.enamel_at_cusp)},
                          {"enamel_in_fossa", resolved(s.enamel_in_fossa)},
                          {"enamel_at_side", resolved(s.enamel_at_side)},
                          {"pulp_roof", resolved(s.pulp_roof)},
                          {"pulp_height", resolved(s.pulp_height)},
                          {"pulp_horn", resolved(s.pulp_horn)},
                          {"pulp_mesiodistal", resolved(s.pulp_mesiodistal)},
                          {"pulp_buccolingual", resolved(s.pulp_buccolingual)}});
}

void add_box(PlainTable& table, const char* side, const std::optional<anatomy::ProximalBox>& box) {
  if (!box) return;
  table.push_back({side, plain(PlainTable{{"floor_below_cusps_mm", plain(box->floor_below_cusps_mm)},
                                          {"width_mm", plain(box->width_mm)},
                                          {"axial_depth_mm", plain(box->axial_depth_mm)}})});
}

PlainValue cavity(const anatomy::Cavity& cut) {
  PlainTable table;
  if (const auto& part = cut.occlusal) {
    table.push_back({"occlusal", plain(PlainTable{{"floor_below_cusps_mm", plain(part->floor_below_cusps_mm)},
                                                  {"width_mm", plain(part->width_mm)},
                                                  {"length_mm", plain(part->length_mm)}})});
  }
  add_box(table, "mesial", cut.mesial);
  add_box(table, "distal", cut.distal);
  if (const auto& part = cut.front) {
    table.push_back({"front", plain(PlainTable{{"side", plain(word(part->side))},
                                               {"roof_below_edge_mm", plain(part->roof_below_edge_mm)},
                                               {"floor_below_edge_mm", plain(part->floor_below_edge_mm)},
                                               {"axial_depth_mm", plain(part->axial_depth_mm)},
                                               {"labial_wall_mm", plain(part->labial_wall_mm)}})});
  }
  return plain(std::move(table));
}

PlainValue matrix(const plan::Case& plan, const anatomy::Matrix& band) {
  const bool metal = band.kind == anatomy::MatrixKind::kMetal;
  PlainTable table{{"kind", plain(metal ? "metal" : "clear")},
                   {"thickness_mm", plain(band.thickness_mm)},
                   {"upper_edge_mm", plain(band.upper_edge_mm)},
                   {"beyond_floor_mm", plain(band.beyond_floor_mm)},
                   {"wedge", plain(plan.site.restoration.wedge)}};
  if (metal) {
    table.push_back({"reflectance", resolved(plan.band_reflectance)});
    table.push_back({"specular_share", resolved(plan.band_specular_share)});
  }
  return plain(std::move(table));
}

PlainValue increments(const plan::Case& plan) {
  PlainList list;
  for (std::size_t i = 0; i < plan.site.restoration.increments.size(); ++i) {
    const anatomy::Increment& increment = plan.site.restoration.increments[i];
    PlainTable table{{"layering", plain(word(increment.layering))}};
    if (increment.layering != anatomy::Layering::kBulk) {
      table.push_back({"thickness_mm", plain(increment.thickness_mm)});
    }
    table.push_back({"material", plain(plan.materials[plan.increment_materials[i]].name)});
    list.push_back(plain(std::move(table)));
  }
  return plain(std::move(list));
}

/// Adhesive first, then those of the increments.
std::vector<const cure::Material*> all_materials(const plan::Case& plan) {
  std::vector<const cure::Material*> all{&plan.adhesive};
  for (const cure::Material& material : plan.materials) all.push_back(&material);
  return all;
}

/// Each initiator of any material once.
PlainList initiators(const plan::Case& plan) {
  std::vector<std::string_view> had;
  PlainList list;
  for (const cure::Material* material : all_materials(plan)) {
    for (const optics::InitiatorContent& content : material->optics.initiators) {
      if (std::ranges::find(had, content.initiator.id) != had.end()) continue;
      had.emplace_back(content.initiator.id);
      list.push_back(resolved(content.initiator));
    }
  }
  return list;
}

PlainValue exposure(const plan::Case& plan, const plan::Exposure& one) {
  const base::Point& aim = one.pose.aim;
  PlainTable table{{"state", plain(scene_states(plan.site)[one.state].name)},
                   {"aim_mm", plain(PlainList{plain(aim.x), plain(aim.y), plain(aim.z)})},
                   {"from", plain(word(one.pose.from))},
                   {"tilt_deg", plain(one.pose.tilt_deg)}};
  if (one.pose.tilt_deg > 0) table.push_back({"tilt_to", plain(word(one.pose.tilt_to))});
  table.push_back({"standoff_mm", plain(one.pose.standoff_mm)});
  table.push_back({"mode", plain(plan.light.modes[one.mode].name)});
  table.push_back({"seconds", plain(one.seconds)});
  table.push_back({"pause_before_s", plain(one.pause_before_s)});
  return plain(std::move(table));
}

}  // namespace

PlainTable resolved_case(const plan::Case& plan) {
  const anatomy::Restoration& restoration = plan.site.restoration;
  PlainTable document{
      {"case", plain(PlainTable{{"name", plain(plan.name)}, {"cavity", plain(name(plan.site.cavity))}})},
      {"tooth", tooth(plan.site)},
      {"crown", crown(plan.site.crown)},
      {"cavity", cavity(plan.site.cavity)},
      {"tissue", plain(PlainTable{{"enamel", resolved(plan.tissues.enamel)},
                                  {"dentine", resolved(plan.tissues.dentine)},
                                  {"pulp", resolved(plan.tissues.pulp)},
                                  {"gingiva", resolved(plan.tissues.gingiva)}})},
      {"around",
       plain(PlainTable{
           {"wedge", resolved(plan.wedge)}, {"dam", resolved(plan.dam)}, {"clear_band", resolved(plan.clear_band)}})},
      {"adhesive",
       plain(PlainTable{{"thickness_mm", plain(restoration.adhesive_mm)}, {"material", plain(plan.adhesive.name)}})},
      {"increment", increments(plan)}};
  if (restoration.matrix) document.push_back({"matrix", matrix(plan, *restoration.matrix)});
  PlainList materials;
  for (const cure::Material* material : all_materials(plan)) materials.push_back(resolved(*material));
  document.push_back({"material", plain(std::move(materials))});
  document.push_back({"initiator", plain(initiators(plan))});
  document.push_back({"mould", plain(PlainTable{{"reflectance", resolved(plan.mould_reflectance)}})});
  document.push_back({"temperature", plain(PlainTable{{"tooth_c", plain(plan.tooth_c)}})});
  document.push_back({"light", resolved(plan.light)});
  document.push_back({"today", plain(PlainTable{{"output_share", resolved(plan.output_share)},
                                                {"barrier_pass", resolved(plan.barrier_pass)}})});
  PlainList modes;
  for (const optics::Mode& mode : plan.light.modes) modes.push_back(resolved(mode));
  document.push_back({"mode", plain(std::move(modes))});
  document.push_back({"hand", plain(PlainTable{{"standoff_sd_mm", resolved(plan.hand.standoff_sd_mm)},
                                               {"tilt_sd_deg", resolved(plan.hand.tilt_sd_deg)},
                                               {"wander_sd_mm", resolved(plan.hand.wander_sd_mm)}})});
  document.push_back({"patient", plain(PlainTable{{"photosensitive", plain(plan.patient.photosensitive)},
                                                  {"no_natural_lens", plain(plan.patient.no_natural_lens)}})});
  PlainList exposures;
  for (const plan::Exposure& one : plan.schedule) exposures.push_back(exposure(plan, one));
  document.push_back({"exposure", plain(std::move(exposures))});
  return document;
}

std::string resolved_case_toml(const plan::Case& plan) { return toml_text(resolved_case(plan)); }

}  // namespace throughcure::exchange
