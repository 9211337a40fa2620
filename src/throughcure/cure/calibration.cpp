#include "throughcure/cure/calibration.hpp"

#include <map>
#include <optional>
#include <utility>

#include "throughcure/cure/disc_light.hpp"

namespace throughcure::cure {

namespace {

/// The moulds already simulated: facts found with one light at one standoff share one.
class Moulds {
 public:
  Moulds(const DrawSource& source, const MouldEffort& effort, const base::Running& running)
      : source_(source), effort_(effort), running_(running) {}

  const MouldOf& of(const std::optional<std::filesystem::path>& file, const optics::Light& light, double standoff_mm) {
    const auto key = std::make_pair(file.value_or("").string(), standoff_mm);
    const auto found = known_.find(key);
    if (found != known_.end()) return found->second;
    return known_.emplace(key, mould_of_material(source_, light, standoff_mm, effort_, running_)).first->second;
  }

 private:
  const DrawSource& source_;
  MouldEffort effort_;
  const base::Running& running_;
  std::map<std::pair<std::string, double>, MouldOf> known_;
};

/// The classes whose hardness at the scraped depth is known.
bool is_restorative(MaterialClass material_class) {
  return material_class == MaterialClass::kPaste || material_class == MaterialClass::kFlowable ||
         material_class == MaterialClass::kBulkFill;
}

/// Where the hardness at the scraped depth is a fact: in the first scrape test, or else under the first instructions.
std::optional<HardnessAtScrapeFact> hardness_of_test(const Priors& priors, const Facts& facts) {
  if (!facts.scrapes.empty()) return hardness_fact(priors, facts.scrapes.front().exposure, facts.scrapes.front().mould);
  if (facts.instructions.empty()) return std::nullopt;
  return hardness_fact(priors, facts.instructions.front().exposure, facts.instructions.front().mould);
}

}  // namespace

Calibration calibrate(const DrawSource& source, const LightOf& light_of, const MouldEffort& effort, std::uint64_t seed,
                      const EnsembleSize& size, const base::Running& running) {
  const Material& material = source.material;
  const ScrapeStandard& standard = source.priors.scrape;
  Calibration calibration;
  Moulds moulds(source, effort, running);
  Facts facts;
  facts.depth_per_length = standard.depth_per_length.value;
  facts.slope = slope_prior(source.priors, material.material_class);
  for (const ScrapeTest& test : material.scrapes) {
    if (test.mould_diameter_mm != standard.mould_diameter_mm.value) {
      calibration.set_aside.emplace_back(
          "a scrape test in a mould of another bore than the standard's is not simulated");
      continue;
    }
    const std::optional<std::filesystem::path>& file = test.light.light_file;
    const optics::Light light = file ? light_of(*file) : usual_test_light();
    const double exitance =
        test.light.irradiance_mw_cm2.value_or(optics::exitance_mw_cm2(light, light.radiant_power_mw.value));
    facts.scrapes.push_back({.depth_mm = test.depth_mm,
                             .sd_mm = test.sd_mm,
                             .exposure = {.exitance_mw_cm2 = exitance,
                                          .seconds = test.seconds,
                                          .course = light.modes.front().course,
                                          .temperature_c = test.temperature_c},
                             .mould = moulds.of(file, light, test.standoff_mm)});
  }
  for (const IfuStatement& statement : material.instructions) {
    facts.instructions.push_back(
        {.depth_mm = statement.depth_mm,
         .allowed_below_mm = standard.allowed_below_claim_mm.value,
         .sd_mm = standard.sd_within_laboratory_mm.value,
         .exposure = {.exitance_mw_cm2 = statement.irradiance_mw_cm2, .seconds = statement.seconds},
         .mould = moulds.of({}, usual_test_light(), 0)});
  }
  for (const DiscTransmission& test : material.discs) {
    std::optional<optics::Light> light;
    if (test.light_file) light = light_of(*test.light_file);
    facts.discs.push_back({.fraction = test.fraction,
                           .sd_relative = test.sd_fraction,
                           .predicted = disc_of_material(source, test, light ? &*light : nullptr, effort, running)});
  }
  if (is_restorative(material.material_class)) facts.hardness = hardness_of_test(source.priors, facts);
  calibration.ensemble = condition(source, facts, seed, size, running);
  return calibration;
}

}  // namespace throughcure::cure
