#include "throughcure/exchange/reference_cure.hpp"

#include "throughcure/exchange/embedded_reference.hpp"
#include "throughcure/exchange/sourced_number.hpp"
#include "throughcure/exchange/toml_document.hpp"

namespace throughcure::exchange {

namespace {

constexpr Limits kShare{.at_least = 0, .at_most = 1};

constexpr Limits positive(std::string_view unit) { return {.above = 0, .unit = unit}; }
constexpr Limits not_negative(std::string_view unit) { return {.at_least = 0, .unit = unit}; }

cure::RatePriors read_rate(const TomlTable& t) {
  return {.exponent = sourced_number(t, "p", {.above = 0, .at_most = 1}),
          .attenuation_paste_per_mm = sourced_number(t, "attenuation_paste", positive("1/mm")),
          .attenuation_bulk_fill_per_mm = sourced_number(t, "attenuation_bulk_fill", positive("1/mm")),
          .p_times_attenuation_per_mm = sourced_number(t, "p_times_attenuation", positive("1/mm")),
          .k_ref_per_s = sourced_number(t, "k_ref", positive("1/s")),
          .phi_ref_mw_cm2 = sourced_number(t, "phi_ref", positive("mW/cm2")),
          .autoacceleration = sourced_number(t, "autoacceleration_b", not_negative("")),
          .autodeceleration = sourced_number(t, "autodeceleration_q", positive("")),
          .activation_kj_mol = sourced_number(t, "activation_energy", not_negative("kJ/mol")),
          .induction_j_cm2 = sourced_number(t, "induction", not_negative("J/cm2")),
          .bleaching_cm2_per_j = sourced_number(t, "bleaching", not_negative("cm2/J"))};
}

cure::LimitPriors read_limit(const TomlTable& t) {
  return {.paste = sourced_number(t, "paste", kShare),
          .flowable = sourced_number(t, "flowable", kShare),
          .per_kelvin = sourced_number(t, "per_kelvin", not_negative("1/K")),
          .reference_temperature_c = sourced_number(t, "reference_temperature", not_negative("C"))};
}

cure::DarkPriors read_dark(const TomlTable& t) {
  return {.gain = sourced_number(t, "gain", kShare),
          .t1_s = sourced_number(t, "t1", positive("s")),
          .final = sourced_number(t, "final", kShare)};
}

cure::Criterion read_criterion(const TomlTable& t) {
  return {.hardness_ratio = sourced_number(t, "hardness_ratio", kShare),
          .reference_exposure_j_cm2 = sourced_number(t, "reference_exposure", positive("J/cm2")),
          .reference_depth_mm = sourced_number(t, "reference_depth", positive("mm")),
          .after_h = sourced_number(t, "after", positive("h")),
          .at_temperature_c = sourced_number(t, "at_temperature", not_negative("C"))};
}

cure::ScrapeStandard read_scrape(const TomlTable& t) {
  return {.mould_diameter_mm = sourced_number(t, "mould_diameter", positive("mm")),
          .mould_least_height_mm = sourced_number(t, "mould_least_height", positive("mm")),
          .depth_per_length = sourced_number(t, "depth_per_length", kShare),
          .allowed_below_claim_mm = sourced_number(t, "allowed_below_claim", not_negative("mm")),
          .sd_within_laboratory_mm = sourced_number(t, "sd_within_laboratory", positive("mm")),
          .ratio_between_laboratories = sourced_number(t, "ratio_between_laboratories", {.at_least = 1})};
}

cure::ReadingScatter read_scatter(const TomlTable& t) {
  return {.conversion_within = sourced_number(t, "conversion.sd_within_laboratory", kShare),
          .conversion_between = sourced_number(t, "conversion.sd_between_laboratories", kShare),
          .hardness_ratio_within = sourced_number(t, "hardness_ratio.sd_within_laboratory", kShare),
          .hardness_ratio_across = sourced_number(t, "hardness_ratio.sd_across_laboratories", kShare)};
}

cure::Priors read_priors() {
  const TomlDocument file = reference_document("cure");
  const TomlTable root = file.root();
  cure::Priors priors{.rate = read_rate(root.table("rate")),
                      .limit = read_limit(root.table("limit")),
                      .dark = read_dark(root.table("dark")),
                      .hardness = {.slope = sourced_number(root, "hardness.slope", kShare),
                                   .scrape_conversion = sourced_number(root, "gel.scrape_conversion", kShare),
                                   .at_scraped_depth = sourced_number(root, "hardness.ratio_at_scraped_depth", kShare)},
                      .criterion = read_criterion(root.table("criterion")),
                      .policy = {.through_cured_from = sourced_number(root, "policy.through_cured_from", kShare),
                                 .under_cured_to = sourced_number(root, "policy.under_cured_to", kShare)},
                      .scrape = read_scrape(root.table("test.scrape")),
                      .readings = read_scatter(root.table("test"))};
  base::refuse_if_any(file.problems());
  return priors;
}

std::vector<BarrierLoss> read_barriers() {
  const TomlDocument file = reference_document("barriers");
  const TomlTable barriers = file.root().table("barrier");
  std::vector<BarrierLoss> losses;
  for (const std::string& name : barriers.keys()) losses.push_back({name, sourced_number(barriers, name, kShare)});
  base::refuse_if_any(file.problems());
  return losses;
}

SteelOptics read_steel() {
  const TomlDocument file = reference_document("matrices");
  SteelOptics steel{.reflectance = sourced_number(file.root(), "steel.reflectance", kShare),
                    .specular_share = sourced_number(file.root(), "steel.specular_share", kShare)};
  base::refuse_if_any(file.problems());
  return steel;
}

}  // namespace

const cure::Priors& reference_cure() {
  static const cure::Priors priors = read_priors();
  return priors;
}

const std::vector<BarrierLoss>& reference_barriers() {
  static const std::vector<BarrierLoss> losses = read_barriers();
  return losses;
}

const SteelOptics& reference_steel() {
  static const SteelOptics steel = read_steel();
  return steel;
}

}  // namespace throughcure::exchange
