#include "throughcure/exchange/case_file.hpp"

#include <algorithm>
#include <utility>
#include <vector>

#include "throughcure/exchange/case_light.hpp"
#include "throughcure/exchange/case_schedule.hpp"
#include "throughcure/exchange/case_site.hpp"
#include "throughcure/exchange/reference_cure.hpp"
#include "throughcure/exchange/reference_hand.hpp"
#include "throughcure/exchange/reference_optics.hpp"
#include "throughcure/exchange/sourced_number.hpp"
#include "throughcure/exchange/toml_document.hpp"

namespace throughcure::exchange {

namespace {

using base::Provenance;
using cure::MaterialClass;

/// What the increments and the adhesive layer are made of, as places among the files' materials.
struct CaseMaterials {
  std::optional<std::size_t> adhesive;
  std::vector<std::optional<std::size_t>> of_increment;
};

/// Says so where a material's class is none of those wanted.
void check_class(const TomlTable& table, std::optional<std::size_t> place, const NamedFiles& files,
                 const std::vector<MaterialClass>& wanted) {
  if (!place) return;
  const cure::Material& material = files.material_at(*place);
  std::string words;
  for (const MaterialClass one : wanted) {
    if (material.material_class == one) return;
    words += (words.empty() ? "" : ", ") + std::string(word(one));
  }
  table.refuse("material", "\"" + material.name + "\" is of the class " + std::string(word(material.material_class)),
               "Name a material of the class " + words);
}

CaseMaterials read_materials(const TomlTable& root, const CaseSite& site, NamedFiles& files) {
  using enum MaterialClass;
  const std::vector<MaterialClass> fillings{kPaste, kFlowable, kBulkFill};
  CaseMaterials materials;
  const TomlTable adhesive = root.table("adhesive");
  materials.adhesive = files.material(adhesive, "material");
  check_class(adhesive, materials.adhesive, files, {kAdhesive});
  for (const TomlTable& entry : site.increments) {
    // [paste] is only asked for by an increment that names nothing itself; given in vain, it is an unused key.
    const TomlTable where = entry.has("material") ? entry : root.table("paste");
    materials.of_increment.push_back(files.material(where, "material"));
    check_class(where, materials.of_increment.back(), files, fillings);
  }
  return materials;
}

/// Gives the case its increments' materials, each once. False where one could not be read.
bool put(const CaseMaterials& read, const NamedFiles& files, plan::Case& plan) {
  std::vector<std::size_t> taken;
  for (const auto& place : read.of_increment) {
    if (!place) return false;
    const auto before = std::ranges::find(taken, *place);
    plan.increment_materials.push_back(static_cast<std::size_t>(before - taken.begin()));
    if (before != taken.end()) continue;
    taken.push_back(*place);
    plan.materials.push_back(files.material_at(*place));
  }
  return true;
}

plan::Hand read_hand(const TomlTable& root, const Provenance& otherwise) {
  plan::Hand hand = reference_hand();
  const TomlTable part = root.table_or_empty("hand");
  const auto read = [&](std::string_view key, double at_most, std::string_view unit, base::Sourced& sd) {
    if (auto own = optional_ranged_number(part, key, {.at_least = 0, .at_most = at_most, .unit = unit}, otherwise)) {
      sd = *std::move(own);
    }
  };
  read("standoff_sd_mm", 10, "mm", hand.standoff_sd_mm);
  read("tilt_sd_deg", 30, "deg", hand.tilt_sd_deg);
  read("wander_sd_mm", 10, "mm", hand.wander_sd_mm);
  return hand;
}

plan::Patient read_patient(const TomlTable& root) {
  const TomlTable part = root.table_or_empty("patient");
  return {.photosensitive = part.optional_flag("photosensitive").value_or(false),
          .no_natural_lens = part.optional_flag("no_natural_lens").value_or(false)};
}

std::optional<plan::Case> read(TomlDocument file, const CaseFiles& from, base::Problems& problems) {
  NamedFiles files(from);
  const TomlTable root = file.root();
  const TomlTable head = root.table("case");
  std::string name = head.text("name");
  const Provenance provenance = read_provenance(head);
  CaseSite site = read_case_site(file);
  const CaseMaterials materials = read_materials(root, site, files);
  CaseLight light = read_case_light(root, provenance, files);
  const Limits body{.at_least = 0, .at_most = 60, .unit = "C"};
  const double tooth_c = root.table_or_empty("temperature").optional_number("tooth_c", body).value_or(37);
  plan::Hand hand = read_hand(root, provenance);
  const plan::Patient patient = read_patient(root);
  std::vector<plan::Exposure> schedule = read_case_schedule(root, site, light.light);

  const base::Problems own = file.finish();
  problems.insert(problems.end(), own.begin(), own.end());
  problems.insert(problems.end(), files.problems().begin(), files.problems().end());
  if (!own.empty() || !files.problems().empty() || !light.light || !materials.adhesive) return std::nullopt;

  SteelOptics steel = reference_steel();
  Surrounds surrounds = reference_surrounds();
  plan::Case plan{.name = std::move(name),
                  .site = std::move(site.site),
                  .materials = {},
                  .increment_materials = {},
                  .adhesive = files.material_at(*materials.adhesive),
                  .tissues = reference_tissues(),
                  .wedge = std::move(surrounds.wedge),
                  .dam = std::move(surrounds.dam),
                  .clear_band = std::move(surrounds.clear_band),
                  .band_reflectance = steel.reflectance,
                  .band_specular_share = std::move(steel.specular_share),
                  .mould_reflectance = std::move(steel.reflectance),
                  .light = *std::move(light.light),
                  .output_share = std::move(light.output_share),
                  .barrier_pass = std::move(light.barrier_pass),
                  .tooth_c = tooth_c,
                  .hand = std::move(hand),
                  .schedule = std::move(schedule),
                  .patient = patient};
  if (!put(materials, files, plan)) return std::nullopt;
  return plan;
}

}  // namespace

plan::Case read_case(const std::filesystem::path& path) {
  base::Problems problems;
  auto found = read_case(path, problems);
  if (!found) throw base::InputError(std::move(problems));
  return *std::move(found);
}

std::optional<plan::Case> read_case(const std::filesystem::path& path, base::Problems& problems) {
  return read(TomlDocument::open(path), case_files(path.parent_path()), problems);
}

std::optional<plan::Case> parse_case(std::string_view text, std::string name, std::filesystem::path folder,
                                     base::Problems& problems) {
  return parse_case(text, std::move(name), case_files(std::move(folder)), problems);
}

std::optional<plan::Case> parse_case(std::string_view text, std::string name, const CaseFiles& files,
                                     base::Problems& problems) {
  return read(TomlDocument::parse(text, std::move(name), files.folder), files, problems);
}

std::optional<plan::Case> parse_case(const PlainTable& document, std::string name, const CaseFiles& files,
                                     base::Problems& problems) {
  return read(TomlDocument::of_json(document, std::move(name), files.folder), files, problems);
}

}  // namespace throughcure::exchange
