#include "throughcure/exchange/resin_reader.hpp"

#include <algorithm>
#include <numeric>
#include <optional>
#include <string>
#include <utility>

#include "throughcure/base/number_text.hpp"
#include "throughcure/exchange/reference_optics.hpp"
#include "throughcure/exchange/sourced_number.hpp"

namespace throughcure::exchange {

namespace {

using base::Sourced;

constexpr Limits kPerMm{.at_least = 0, .at_most = 50, .unit = "1/mm"};

double low(const Sourced& number) { return number.low.value_or(number.value); }
double high(const Sourced& number) { return number.high.value_or(number.value); }

/// A number worked out from others, with the range that theirs give it.
Sourced derived(double value, double at_low, double at_high, std::string unit, std::string source) {
  return {.value = value,
          .low = std::min({at_low, value, at_high}),
          .high = std::max({at_low, value, at_high}),
          .unit = std::move(unit),
          .kind = base::Kind::kDerived,
          .source = std::move(source)};
}

std::vector<optics::InitiatorContent> read_initiators(const TomlTable& root, const base::Provenance& otherwise) {
  const std::vector<optics::Initiator>& known = reference_initiators();
  std::vector<std::string_view> names;
  names.reserve(known.size());
  for (const optics::Initiator& initiator : known) names.emplace_back(initiator.id);
  std::vector<optics::InitiatorContent> contents;
  for (const TomlTable& entry : root.tables("initiator", {.at_least = 1, .at_most = 10})) {
    const optics::Initiator& initiator = known[entry.choice_among("name", names)];
    const bool twice = std::ranges::any_of(contents, [&](const auto& c) { return c.initiator.id == initiator.id; });
    if (twice && entry.optional_text("name") == initiator.id) {
      entry.refuse("name", initiator.id + " is given twice", "Give each initiator once, with all there is of it");
    }
    contents.push_back({initiator, ranged_number(entry, "mass_percent_of_resin",
                                                 {.above = 0, .at_most = 20, .unit = "wt%"}, otherwise)});
  }
  return contents;
}

/// What all initiators together absorb at a wavelength [1/mm].
double initiators_at(const optics::ResinOptics& resin, double wavelength_nm) {
  const auto shares = initiator_shares_per_mm(resin, nominal(resin), wavelength_nm);
  return std::accumulate(shares.begin(), shares.end(), 0.0);
}

/// The rest that, beside the initiators' share, gives this attenuation; 0 where the initiators alone give more.
double rest_for(double attenuation_per_mm, double scattering_per_mm, double share_per_mm) {
  return std::max(0.0, optics::absorption_for_attenuation_per_mm(attenuation_per_mm, scattering_per_mm) - share_per_mm);
}

/// Absorption without the initiators at 460 nm: given, or from the whole, or from class and shade.
Sourced read_rest_blue(const TomlTable& root, const TomlTable& table, const optics::ResinOptics& resin,
                       const ClassOptics& known, const base::Provenance& otherwise) {
  const double share = initiators_at(resin, optics::kBlue_nm);
  if (auto rest = optional_ranged_number(table, "rest_absorption_per_mm", kPerMm, otherwise)) {
    return *std::move(rest);
  }
  if (const auto whole = optional_ranged_number(table, "absorption_per_mm", kPerMm, otherwise)) {
    if (whole->value < share) {
      table.refuse("absorption_per_mm",
                   base::number_text(whole->value) + " 1/mm is below what the initiators alone absorb at 460 nm, " +
                       base::number_text(share) + " 1/mm",
                   "Give the absorption of the whole, or less of the initiators");
    }
    const auto rest_of = [&](double absorption) { return std::max(0.0, absorption - share); };
    Sourced rest = derived(rest_of(whole->value), rest_of(low(*whole)), rest_of(high(*whole)), "1/mm",
                           "absorption_per_mm less the initiators' share");
    rest.kind = whole->kind;
    return rest;
  }
  using enum ShadeDepth;
  const auto depth = root.optional_choice<ShadeDepth>(
      "material.depth_of_shade", {{"light", kLight}, {"medium", kMedium}, {"dark", kDark}, {"opaque", kOpaque}});
  const Sourced& factor = reference_shade_attenuation(depth.value_or(kMedium));
  const double scattering = resin.scattering_blue_per_mm.value;
  const auto shaded = [&](double rest, double times) {
    return rest_for(times * optics::effective_attenuation_per_mm(rest + share, scattering), scattering, share);
  };
  const Sourced& medium = known.rest_blue_per_mm;
  return derived(shaded(medium.value, factor.value), shaded(low(medium), low(factor)),
                 shaded(high(medium), high(factor)), "1/mm",
                 "the class's rest absorption, with the attenuation times the factor of the shade");
}

/// The same at 405 nm: given, or what the published difference of attenuation asks for.
Sourced read_rest_violet(const TomlTable& table, const optics::ResinOptics& resin, const ClassOptics& known,
                         bool scatters, const base::Provenance& otherwise) {
  if (auto rest = optional_ranged_number(table, "rest_absorption_violet_per_mm", kPerMm, otherwise)) {
    return *std::move(rest);
  }
  if (!scatters) return resin.rest_blue_per_mm;
  const double blue = optics::effective_attenuation_per_mm(
      resin.rest_blue_per_mm.value + initiators_at(resin, optics::kBlue_nm), resin.scattering_blue_per_mm.value);
  const double share = initiators_at(resin, optics::kViolet_nm);
  const auto rest_at = [&](double difference) {
    return rest_for(blue + difference, resin.scattering_violet_per_mm.value, share);
  };
  const Sourced& difference = known.violet_minus_blue_per_mm;
  return derived(rest_at(difference.value), rest_at(low(difference)), rest_at(high(difference)), "1/mm",
                 "attenuation in the violet exceeds the blue one: " + difference.source);
}

/// mus' at 405 nm: given, or by the power law.
Sourced read_scattering_violet(const TomlTable& table, const Sourced& blue, const ClassOptics& known,
                               const base::Provenance& otherwise) {
  if (auto given = optional_ranged_number(table, "scattering_violet_per_mm", kPerMm, otherwise)) {
    return *std::move(given);
  }
  const auto at = [&](double scattering, double power) {
    return optics::scattering_at_violet_per_mm(scattering, power);
  };
  const Sourced& power = known.scattering_power;
  return derived(at(blue.value, power.value), at(low(blue), low(power)), at(high(blue), high(power)), "1/mm",
                 "the scattering at 460 nm, by the power of the class");
}

}  // namespace

optics::ResinOptics read_resin(const TomlTable& root, cure::MaterialClass material_class,
                               const base::Provenance& otherwise) {
  const ClassOptics& known = reference_class_optics(material_class);
  const TomlTable table = root.table_or_empty("optics");
  const auto given_or = [&](std::string_view key, const Limits& limits, const Sourced& prior) {
    return optional_ranged_number(table, key, limits, otherwise).value_or(prior);
  };
  optics::ResinOptics resin;
  resin.n = given_or("n", {.at_least = 1, .at_most = 3}, known.n);
  resin.g = given_or("g", {.at_least = -0.9, .at_most = 0.99}, known.g);
  resin.resin_volume_fraction =
      given_or("resin_volume_fraction", {.above = 0, .at_most = 1}, known.resin_volume_fraction);
  resin.resin_density_g_ml =
      given_or("resin_density_g_ml", {.at_least = 0.5, .at_most = 3, .unit = "g/mL"}, known.resin_density_g_ml);
  resin.scattering_blue_per_mm = given_or("scattering_per_mm", kPerMm, known.scattering_blue_per_mm);
  resin.scattering_violet_per_mm = read_scattering_violet(table, resin.scattering_blue_per_mm, known, otherwise);
  resin.initiators = read_initiators(root, otherwise);
  resin.rest_blue_per_mm = read_rest_blue(root, table, resin, known, otherwise);
  const bool scatters =
      material_class != cure::MaterialClass::kAdhesive && material_class != cure::MaterialClass::kSealant;
  resin.rest_violet_per_mm = read_rest_violet(table, resin, known, scatters, otherwise);
  return resin;
}

}  // namespace throughcure::exchange
