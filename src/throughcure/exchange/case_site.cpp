#include "throughcure/exchange/case_site.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "throughcure/anatomy/site_problems.hpp"
#include "throughcure/exchange/reference_crowns.hpp"

namespace throughcure::exchange {

namespace {

using anatomy::Layering;
using anatomy::ToothNotation;
using anatomy::ToothNumber;
using anatomy::ToothSide;

constexpr Limits kLength{.above = 0, .at_most = 15, .unit = "mm"};
constexpr Count kIncrements{.at_least = 1, .at_most = 20};

ToothNotation read_notation(const TomlTable& tooth) {
  return tooth
      .optional_choice<ToothNotation>("notation",
                                      {{"ISO 3950", ToothNotation::kIso3950}, {"Universal", ToothNotation::kUniversal}})
      .value_or(ToothNotation::kIso3950);
}

ToothNumber read_tooth(const TomlTable& tooth, ToothNotation notation) {
  const bool universal = notation == ToothNotation::kUniversal;
  const auto number = static_cast<int>(universal ? tooth.whole("number", 1, 32) : tooth.whole("number", 11, 48));
  const auto found = universal ? ToothNumber::from_universal(number) : ToothNumber::from_iso(number);
  if (found) return *found;
  tooth.refuse("number", std::to_string(number) + " is no permanent tooth",
               "Give a quadrant from 1 to 4, then a place from 1 to 8: 36; or say notation = \"Universal\"");
  // NOLINTNEXTLINE(bugprone-unchecked-optional-access): there is a tooth 36
  return *ToothNumber::from_iso(36);
}

std::optional<anatomy::ProximalBox> read_box(const TomlTable& cavity, ToothSide side) {
  const auto part = cavity.optional_table(word(side));
  if (!part) return std::nullopt;
  return anatomy::ProximalBox{.floor_below_cusps_mm = part->number("floor_below_cusps_mm", kLength),
                              .width_mm = part->number("width_mm", kLength),
                              .axial_depth_mm = part->number("axial_depth_mm", kLength)};
}

anatomy::Cavity read_cavity(const TomlTable& cavity) {
  anatomy::Cavity cut;
  if (const auto part = cavity.optional_table("occlusal")) {
    cut.occlusal = anatomy::OcclusalPart{.floor_below_cusps_mm = part->number("floor_below_cusps_mm", kLength),
                                         .width_mm = part->number("width_mm", kLength),
                                         .length_mm = part->number("length_mm", kLength)};
  }
  cut.mesial = read_box(cavity, ToothSide::kMesial);
  cut.distal = read_box(cavity, ToothSide::kDistal);
  if (const auto part = cavity.optional_table("front")) {
    cut.front = anatomy::FrontPart{
        .side = part->choice<ToothSide>("side", {{"mesial", ToothSide::kMesial}, {"distal", ToothSide::kDistal}}),
        .roof_below_edge_mm = part->number("roof_below_edge_mm", kLength),
        .floor_below_edge_mm = part->number("floor_below_edge_mm", kLength),
        .axial_depth_mm = part->number("axial_depth_mm", kLength),
        .labial_wall_mm = part->number("labial_wall_mm", kLength)};
  }
  return cut;
}

anatomy::Increment read_increment(const TomlTable& entry) {
  anatomy::Increment increment;
  increment.layering = entry.choice<Layering>("layering", {{"horizontal", Layering::kHorizontal},
                                                           {"oblique buccal", Layering::kObliqueBuccal},
                                                           {"oblique lingual", Layering::kObliqueLingual},
                                                           {"bulk", Layering::kBulk}});
  if (increment.layering != Layering::kBulk) {
    increment.thickness_mm = entry.number("thickness_mm", kLength);
  } else if (entry.optional_number("thickness_mm", kLength)) {
    entry.refuse("thickness_mm", "a bulk increment has no thickness of its own: it fills what is left",
                 "Leave it out, or lay it horizontal");
  }
  return increment;
}

std::optional<anatomy::Matrix> read_matrix(const TomlTable& root) {
  using anatomy::MatrixKind;
  const auto part = root.optional_table("matrix");
  if (!part) return std::nullopt;
  anatomy::Matrix band;
  band.kind = part->choice<MatrixKind>("kind", {{"metal", MatrixKind::kMetal}, {"clear", MatrixKind::kClear}});
  const auto or_default = [&](std::string_view key, const Limits& limits, double& value) {
    value = part->optional_number(key, limits).value_or(value);
  };
  or_default("thickness_mm", {.above = 0, .at_most = 0.3, .unit = "mm"}, band.thickness_mm);
  or_default("upper_edge_mm", {.above = -5, .at_most = 15, .unit = "mm"}, band.upper_edge_mm);
  or_default("beyond_floor_mm", {.above = 0, .at_most = 5, .unit = "mm"}, band.beyond_floor_mm);
  return band;
}

/// The file's name for a field of the structs, increments aside.
std::string key_of(std::string_view field) {
  constexpr std::pair<std::string_view, std::string_view> kKeys[] = {
      {"restoration.adhesive_mm", "adhesive.thickness_mm"},
      {"restoration.increments", "increment"},
      {"restoration.matrix", "matrix"},
      {"restoration.wedge", "matrix.wedge"},
      {"gingiva_crest_mm", "tooth.gingiva_crest_mm"}};
  for (const auto& [start, key] : kKeys) {
    if (field.starts_with(start)) return std::string(key) + std::string(field.substr(start.size()));
  }
  // The sizes of the crown follow from the tooth.
  return field.starts_with("crown") ? "tooth.number" : std::string(field);
}

/// Says what is wrong with a site where the file has it.
void refuse(const anatomy::SiteProblem& problem, const TomlTable& root, const std::vector<TomlTable>& increments) {
  const std::string key = key_of(problem.field);
  constexpr std::string_view kOne = "increment[";
  if (!key.starts_with(kOne)) return root.refuse(key, problem.what, problem.remedy);
  const std::size_t end = key.find(']');
  const std::size_t place = std::stoul(key.substr(kOne.size(), end - kOne.size()));
  const std::string inside = key.size() > end + 2 ? key.substr(end + 2) : "";
  increments.at(place - 1).refuse(inside, problem.what, problem.remedy);
}

}  // namespace

CaseSite read_case_site(const TomlDocument& file) {
  const std::size_t before = file.problems().size();
  const TomlTable root = file.root();
  const TomlTable tooth = root.table("tooth");
  const ToothNotation notation = read_notation(tooth);
  const ToothNumber number = read_tooth(tooth, notation);
  std::vector<TomlTable> increments = root.tables("increment", kIncrements);
  anatomy::Site site{
      .tooth = number,
      .crown = reference_crown(number),
      .cavity = read_cavity(root.table("cavity")),
      .restoration = {.increments = {}, .matrix = read_matrix(root)},
      .mesial_neighbour = tooth.optional_flag("mesial_neighbour").value_or(false),
      .distal_neighbour = tooth.optional_flag("distal_neighbour").value_or(false),
      .gingiva_crest_mm = tooth.optional_number("gingiva_crest_mm", {.above = 0, .at_most = 20, .unit = "mm"}),
      .notation = notation};
  site.restoration.dam = tooth.optional_flag("dam").value_or(false);
  site.restoration.wedge = root.table_or_empty("matrix").optional_flag("wedge").value_or(false);
  const Limits film{.at_least = 0, .at_most = 0.3, .unit = "mm"};
  site.restoration.adhesive_mm =
      root.table_or_empty("adhesive").optional_number("thickness_mm", film).value_or(site.restoration.adhesive_mm);
  for (const TomlTable& entry : increments) site.restoration.increments.push_back(read_increment(entry));
  // What the parts make together is only looked at when each is what the file says, and no stand-in.
  if (file.problems().size() == before) {
    for (const anatomy::SiteProblem& problem : site_problems(site)) refuse(problem, root, increments);
  }
  const bool sound = file.problems().size() == before;
  return {std::move(site), std::move(increments), sound};
}

}  // namespace throughcure::exchange
