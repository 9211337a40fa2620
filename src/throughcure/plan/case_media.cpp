#include "throughcure/plan/case_media.hpp"

#include <algorithm>
#include <string>

#include "throughcure/anatomy/states.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/base/random.hpp"
#include "throughcure/cure/bands_in_material.hpp"

namespace throughcure::plan {

namespace {

constexpr std::uint32_t kPurpose = 0x706C616E;  // "plan"

transport::Medium turbid(const optics::OpticalProperties& p) {
  return {.n = p.n, .mua_per_mm = p.mua_per_mm, .mus_per_mm = p.mus_per_mm, .g = p.g};
}

bool is_metal(const Case& c) {
  return c.site.restoration.matrix && c.site.restoration.matrix->kind == anatomy::MatrixKind::kMetal;
}

transport::Medium band_medium(const Case& c) {
  if (!is_metal(c)) return turbid(optics::nominal(c.clear_band));
  return {.kind = transport::MediumKind::metal,
          .reflectance = c.band_reflectance.value,
          .specular = c.band_specular_share.value};
}

/// Which material an increment's medium is made of; nothing for what is no increment.
std::optional<std::size_t> material_of(const Case& c, anatomy::MediumId medium) {
  const auto increment = anatomy::increment_of(c.site, medium);
  if (!increment) return std::nullopt;
  return c.increment_materials.at(*increment);
}

transport::Medium medium_called(const Case& c, const std::string& name, const CaseBand& band) {
  if (name == "air") return transport::air();
  if (name.ends_with("enamel")) return turbid(optics::nominal(c.tissues.enamel));
  if (name.ends_with("dentine")) return turbid(optics::nominal(c.tissues.dentine));
  if (name == "pulp") return turbid(optics::nominal(c.tissues.pulp));
  if (name == "gingiva") return turbid(optics::nominal(c.tissues.gingiva));
  if (name == "adhesive") return turbid(cure::resin_in_band(c.light, c.adhesive, band.window).properties);
  if (name == "matrix") return band_medium(c);
  if (name == "wedge") return turbid(optics::nominal(c.wedge));
  if (name == "dam") return turbid(optics::nominal(c.dam));
  throw base::Failure("no optics for the medium \"" + name + "\"");
}

TissueDraw draw_tissue(const optics::TissueOptics& tissue, base::Stream& random) {
  const double mua = std::max(0.0, cure::drawn(tissue.absorption_per_mm, random.uniform()));
  const double scattering = std::max(0.0, cure::drawn(tissue.scattering_per_mm, random.uniform()));
  return {mua - tissue.absorption_per_mm.value,
          tissue.scattering_per_mm.value > 0 ? scattering / tissue.scattering_per_mm.value : 1};
}

}  // namespace

std::vector<CaseBand> bands_of(const Case& c) {
  std::vector<CaseBand> bands;
  for (const optics::Band& window : optics::violet_and_blue()) {
    bands.push_back({.window = window, .weights = std::vector<double>(c.materials.size(), 0)});
  }
  base::Problems problems;
  for (std::size_t m = 0; m < c.materials.size(); ++m) {
    const std::vector<cure::BandInMaterial> known = cure::bands_in_material(c.light, c.materials[m]);
    for (const cure::BandInMaterial& band : known) {
      const auto place = std::ranges::find(bands, band.window.name, [](const CaseBand& b) { return b.window.name; });
      place->mean_nm = band.mean_nm;
      place->power_share = band.power_share;
      place->weights[m] = band.initiator_weight;
    }
    if (known.empty()) {
      problems.push_back({"", 0, 0, "light",
                          c.light.name + " has no power where an initiator of " + c.materials[m].name + " absorbs",
                          "Choose a light whose spectrum meets the material's initiators"});
    }
  }
  base::refuse_if_any(problems);
  std::erase_if(bands, [](const CaseBand& band) { return band.power_share <= 0; });
  return bands;
}

transport::Media media_of(const Case& c, const anatomy::Scene& scene, const CaseBand& band) {
  transport::Media media;
  for (std::size_t id = 0; id < scene.medium_names.size(); ++id) {
    if (const auto material = material_of(c, static_cast<anatomy::MediumId>(id))) {
      media.push_back(turbid(cure::resin_in_band(c.light, c.materials[*material], band.window).properties));
    } else {
      media.push_back(medium_called(c, scene.medium_names[id], band));
    }
  }
  return media;
}

double nominal_power_mw(const Case& c) {
  return c.light.radiant_power_mw.value * c.output_share.value * c.barrier_pass.value;
}

CaseDraw draw_of_case(const Case& c, const base::Sourced& hardness_slope, std::uint64_t seed, std::uint64_t id) {
  base::Stream random(seed, kPurpose, id);
  CaseDraw draw;
  draw.power_mw = std::max(0.0, cure::drawn(c.light.radiant_power_mw, random.uniform())) *
                  std::max(0.0, cure::drawn(c.output_share, random.uniform())) *
                  std::clamp(cure::drawn(c.barrier_pass, random.uniform()), 0.0, 1.0);
  draw.enamel = draw_tissue(c.tissues.enamel, random);
  draw.dentine = draw_tissue(c.tissues.dentine, random);
  draw.pulp = draw_tissue(c.tissues.pulp, random);
  draw.gingiva = draw_tissue(c.tissues.gingiva, random);
  const double u_band = random.uniform();
  if (is_metal(c) && c.band_reflectance.value > 0) {
    draw.band_reflectance_factor = cure::drawn(c.band_reflectance, u_band) / c.band_reflectance.value;
  }
  draw.hardness_slope = cure::drawn(hardness_slope, random.uniform());
  return draw;
}

transport::Media media_of_draw(const Case& c, const anatomy::Scene& scene, const CaseBand& band,
                               const transport::Media& nominal, const CaseDraw& draw) {
  transport::Media media = nominal;
  const auto tissue = [](transport::Medium& medium, const TissueDraw& drawn) {
    medium.mua_per_mm = std::max(0.0, medium.mua_per_mm + drawn.mua_more_per_mm);
    medium.mus_per_mm *= drawn.scattering_factor;
  };
  for (std::size_t m = 0; m < media.size(); ++m) {
    const std::string& name = scene.medium_names[m];
    if (const auto material = material_of(c, static_cast<anatomy::MediumId>(m))) {
      const cure::Draw& resin = draw.materials[*material];
      media[m].mua_per_mm *= optics::at_wavelength(resin.absorption_factor, band.mean_nm);
      media[m].mus_per_mm *= optics::at_wavelength(resin.scattering_factor, band.mean_nm);
    } else if (name.ends_with("enamel")) {
      tissue(media[m], draw.enamel);
    } else if (name.ends_with("dentine")) {
      tissue(media[m], draw.dentine);
    } else if (name == "pulp") {
      tissue(media[m], draw.pulp);
    } else if (name == "gingiva") {
      tissue(media[m], draw.gingiva);
    } else if (name == "matrix" && nominal[m].kind == transport::MediumKind::metal) {
      media[m].reflectance = std::min(1.0, media[m].reflectance * draw.band_reflectance_factor);
    }
  }
  return media;
}

std::vector<bool> increments_among(const Case& c, std::size_t media) {
  std::vector<bool> resin(media);
  for (std::size_t m = 0; m < media; ++m) resin[m] = material_of(c, static_cast<anatomy::MediumId>(m)).has_value();
  return resin;
}

}  // namespace throughcure::plan
