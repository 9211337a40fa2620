#include "throughcure/exchange/resolved_parts.hpp"

#include <string>

#include "throughcure/optics/spectrum.hpp"

namespace throughcure::exchange {

namespace {

void add_provenance(PlainTable& table, base::Kind kind, const std::string& source) {
  table.push_back({"kind", plain(word(kind))});
  if (!source.empty()) table.push_back({"source", plain(source)});
}

void add_if(PlainTable& table, const char* key, const std::optional<double>& number) {
  if (number) table.push_back({key, plain(*number)});
}

void add_if(PlainTable& table, const char* key, const std::optional<base::Sourced>& number) {
  if (number) table.push_back({key, resolved(*number)});
}

void add_light(PlainTable& table, const cure::TestLight& light) {
  add_if(table, "irradiance_mw_cm2", light.irradiance_mw_cm2);
  if (light.light_file) table.push_back({"light", plain(light.light_file->string())});
}

PlainValue part_of(const cure::IfuStatement& statement) {
  PlainTable table{{"depth_mm", plain(statement.depth_mm)},
                   {"seconds", plain(statement.seconds)},
                   {"irradiance_mw_cm2", plain(statement.irradiance_mw_cm2)}};
  add_provenance(table, statement.provenance.kind, statement.provenance.source);
  return plain(std::move(table));
}

PlainValue part_of(const cure::ScrapeTest& test) {
  PlainTable table{{"depth_mm", plain(test.depth_mm)}, {"seconds", plain(test.seconds)}};
  add_light(table, test.light);
  table.push_back({"standoff_mm", plain(test.standoff_mm)});
  table.push_back({"mould_diameter_mm", plain(test.mould_diameter_mm)});
  table.push_back({"temperature_c", plain(test.temperature_c)});
  table.push_back({"sd_mm", plain(test.sd_mm)});
  add_provenance(table, test.provenance.kind, test.provenance.source);
  return plain(std::move(table));
}

PlainValue part_of(const cure::DiscTransmission& disc) {
  PlainTable table{{"fraction", plain(disc.fraction)},
                   {"thickness_mm", plain(disc.thickness_mm)},
                   {"diameter_mm", plain(disc.diameter_mm)},
                   {"cured", plain(disc.cured)}};
  if (const auto* sensor = std::get_if<cure::IrradianceSensor>(&disc.detector)) {
    table.push_back({"detector", plain("irradiance sensor")});
    table.push_back({"aperture_mm", plain(sensor->aperture_mm)});
    table.push_back({"gap_mm", plain(sensor->gap_mm)});
  } else {
    table.push_back({"detector", plain("integrating sphere")});
  }
  add_if(table, "wavelength_nm", disc.wavelength_nm);
  if (disc.light_file) table.push_back({"light", plain(disc.light_file->string())});
  table.push_back({"sd_fraction", plain(disc.sd_fraction)});
  add_provenance(table, disc.provenance.kind, disc.provenance.source);
  return plain(std::move(table));
}

PlainValue part_of(const optics::InitiatorContent& content) {
  return plain(PlainTable{{"name", plain(content.initiator.id)},
                          {"mass_percent_of_resin", resolved(content.mass_percent_of_resin)}});
}

PlainValue part_of(const optics::EpsilonPoint& point) {
  return plain(PlainTable{{"at_nm", plain(point.at_nm)}, {"molar_absorption", resolved(point.epsilon)}});
}

template <class T>
void add_list(PlainTable& table, const char* key, const std::vector<T>& things) {
  if (things.empty()) return;
  PlainList list;
  for (const T& thing : things) list.push_back(part_of(thing));
  table.push_back({key, plain(std::move(list))});
}

PlainValue part_of(const optics::Beam& beam) {
  PlainTable table;
  if (const auto* picture = std::get_if<optics::BeamImage>(&beam)) {
    table = {{"form", plain("picture")},
             {"columns", plain(picture->width)},
             {"rows", plain(picture->height)},
             {"mm_per_pixel", plain(picture->mm_per_pixel)}};
  } else if (const auto* gaussian = std::get_if<optics::GaussianBeam>(&beam)) {
    table = {{"form", plain("gaussian")}, {"diameter_mm", plain(gaussian->diameter_mm)}};
  } else {
    table = {{"form", plain("uniform")}};
  }
  return plain(std::move(table));
}

PlainValue part_of(const optics::Spectrum& spectrum) {
  return plain(PlainTable{{"points", plain(spectrum.wavelength_nm.size())},
                          {"peak_nm", plain(peak_wavelength_nm(spectrum))},
                          {"share_385_to_425_nm", plain(share_between(spectrum, 385, 425))},
                          {"share_425_to_515_nm", plain(share_between(spectrum, 425, 515))}});
}

PlainValue part_of(const optics::Light& light, const optics::AngularShape& shape) {
  PlainTable table{{"half_angle_deg", plain(half_angle_deg(shape))},
                   {"core_exponent", plain(shape.core_exponent)},
                   {"tail_exponent", plain(shape.tail_exponent)},
                   {"tail_share", plain(shape.tail_share)}};
  if (light.fitted) {
    table.push_back({"fitted_to_readings", plain(light.fitted->series.distance_mm.size())});
    table.push_back({"residual", plain(light.fitted->residual)});
    table.push_back({"power_implied_by_readings_mw", plain(light.fitted->implied_power_mw)});
  }
  return plain(std::move(table));
}

}  // namespace

PlainValue resolved(const base::Sourced& number) {
  PlainTable table{{"value", plain(number.value)}};
  add_if(table, "low", number.low);
  add_if(table, "high", number.high);
  add_if(table, "sd", number.sd);
  table.push_back({"unit", plain(number.unit)});
  add_provenance(table, number.kind, number.source);
  if (!number.note.empty()) table.push_back({"note", plain(number.note)});
  return plain(std::move(table));
}

PlainValue resolved(const optics::TissueOptics& tissue) {
  return plain(PlainTable{{"n", resolved(tissue.n)},
                          {"absorption", resolved(tissue.absorption_per_mm)},
                          {"reduced_scattering", resolved(tissue.scattering_per_mm)},
                          {"g", resolved(tissue.g)}});
}

PlainValue resolved(const cure::Material& material) {
  const optics::ResinOptics& optics = material.optics;
  PlainTable table{{"name", plain(material.name)},
                   {"class", plain(word(material.material_class))},
                   {"shade", plain(material.shade)},
                   {"n", resolved(optics.n)},
                   {"g", resolved(optics.g)},
                   {"reduced_scattering_460_nm", resolved(optics.scattering_blue_per_mm)},
                   {"reduced_scattering_405_nm", resolved(optics.scattering_violet_per_mm)},
                   {"absorption_without_initiators_460_nm", resolved(optics.rest_blue_per_mm)},
                   {"absorption_without_initiators_405_nm", resolved(optics.rest_violet_per_mm)},
                   {"resin_volume_fraction", resolved(optics.resin_volume_fraction)},
                   {"resin_density", resolved(optics.resin_density_g_ml)}};
  add_if(table, "limiting_conversion", material.limits.limiting_conversion);
  add_if(table, "scrape_conversion", material.limits.scrape_conversion);
  add_if(table, "exponent", material.limits.exponent);
  add_list(table, "initiator", optics.initiators);
  add_list(table, "instructions", material.instructions);
  add_list(table, "scrape", material.scrapes);
  add_list(table, "disc", material.discs);
  return plain(std::move(table));
}

PlainValue resolved(const optics::Initiator& initiator) {
  const bool decadic = initiator.reading == optics::AbsorptionReading::kDecadic;
  PlainTable table{{"id", plain(initiator.id)},
                   {"name", plain(initiator.name)},
                   {"reading", plain(decadic ? "decadic" : "Napierian")},
                   {"molar_mass", resolved(initiator.molar_mass)}};
  add_if(table, "quantum_yield_of_loss", initiator.quantum_yield_of_loss);
  add_list(table, "spectrum", initiator.spectrum);
  return plain(std::move(table));
}

PlainValue resolved(const optics::Light& light) {
  PlainTable table{{"name", plain(light.name)}};
  add_provenance(table, light.provenance.kind, light.provenance.source);
  table.push_back({"tip_diameter_mm", plain(light.tip_diameter_mm)});
  table.push_back({"radiant_power", resolved(light.radiant_power_mw)});
  table.push_back({"exitance_mw_cm2", plain(exitance_mw_cm2(light, light.radiant_power_mw.value))});
  table.push_back({"spectrum", part_of(light.spectrum)});
  table.push_back({"beam", part_of(light.beam)});
  table.push_back({"angle", part_of(light, light.shape)});
  table.push_back({"head_size_mm", plain(light.head_size_mm)});
  table.push_back({"tip_angle_deg", plain(light.tip_angle_deg)});
  return plain(std::move(table));
}

PlainValue resolved(const optics::Mode& mode) {
  PlainTable table{{"name", plain(mode.name)}};
  if (const auto* ramp = std::get_if<optics::Ramp>(&mode.course)) {
    table.push_back({"course", plain("ramp")});
    table.push_back({"from_share", plain(ramp->from_share)});
    table.push_back({"rise_s", plain(ramp->rise_s)});
    table.push_back({"to_share", plain(ramp->to_share)});
  } else if (const auto* pulsed = std::get_if<optics::Pulsed>(&mode.course)) {
    table.push_back({"course", plain("pulsed")});
    table.push_back({"on_s", plain(pulsed->on_s)});
    table.push_back({"off_s", plain(pulsed->off_s)});
    table.push_back({"share", plain(pulsed->share)});
  } else if (const auto* levels = std::get_if<optics::TwoLevel>(&mode.course)) {
    table.push_back({"course", plain("two-level")});
    table.push_back({"first_share", plain(levels->first_share)});
    table.push_back({"first_s", plain(levels->first_s)});
    table.push_back({"then_share", plain(levels->then_share)});
  } else {
    table.push_back({"course", plain("continuous")});
    table.push_back({"share", plain(std::get<optics::Continuous>(mode.course).share)});
  }
  PlainList buttons;
  for (const double button : mode.buttons_s) buttons.push_back(plain(button));
  table.push_back({"buttons_s", plain(std::move(buttons))});
  return plain(std::move(table));
}

}  // namespace throughcure::exchange
