// throughcure scrape: the ISO 4049 scrape test of a material under a light, simulated over everything not known of it.
#include <cmath>
#include <cstdio>
#include <iostream>
#include <memory>
#include <optional>
#include <string>

#include <nlohmann/json.hpp>

#include "common_options.hpp"
#include "progress_line.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/cure/calibration.hpp"
#include "throughcure/exchange/light_file.hpp"
#include "throughcure/exchange/material_file.hpp"
#include "throughcure/exchange/mould_table_file.hpp"

namespace throughcure::apps {

namespace {

struct ScrapeOptions {
  std::string material;
  std::string light;
  double seconds = 20;
  double standoff_mm = 0;
  std::uint64_t photons = 100'000;
  std::uint64_t seed = 1;
  unsigned threads = base::hardware_threads();
  bool json = false;
};

/// The longest piece that is looked for: the mould is 10 mm.
constexpr double kMostStandoff_mm = 20;

void refuse_bad_numbers(const ScrapeOptions& options) {
  base::Problems problems;
  if (std::isnan(options.seconds) || options.seconds <= 0 || options.seconds > 3600) {
    problems.push_back({"", 0, 0, "--seconds", "the time must be above 0 s and at most 3600 s", "Give the time in s"});
  }
  if (std::isnan(options.standoff_mm) || options.standoff_mm < 0 || options.standoff_mm > kMostStandoff_mm) {
    problems.push_back(
        {"", 0, 0, "--standoff", "it must be from 0 to 20 mm", "Give the gap between tip and resin in mm"});
  }
  if (options.photons < 1000) {
    problems.push_back({"", 0, 0, "--photons", "fewer than 1000 say nothing", "Give 1000 or more"});
  }
  refuse_if_any(problems);
}

int run_scrape_command(const ScrapeOptions& options, const Context& context) {
  refuse_bad_numbers(options);
  base::Problems problems;
  const std::optional<cure::Material> material = exchange::read_material(options.material, problems);
  const std::optional<optics::Light> light = exchange::read_light(options.light, problems);
  if (!material || !light) throw base::InputError(problems);

  ProgressLine line;
  const base::Running running{.threads = options.threads, .stop = context.stop, .progress = line.sink()};
  const cure::DrawSource source = exchange::draw_source(*material);
  const cure::MouldEffort effort{.photons = options.photons, .seed = options.seed};
  const cure::Calibration calibration = cure::calibrate(
      source, [](const std::filesystem::path& file) { return exchange::read_light(file); }, effort, options.seed, {},
      running);
  const double exitance = optics::exitance_mw_cm2(*light, light->radiant_power_mw.value);
  const cure::ScrapedDepth depth = cure::scraped_depth(
      calibration.ensemble.draws, mould_of_material(source, *light, options.standoff_mm, effort, running),
      {.exitance_mw_cm2 = exitance, .seconds = options.seconds, .course = light->modes.front().course},
      source.priors.scrape.depth_per_length.value);
  line.clear();

  if (options.json) {
    const nlohmann::ordered_json document = {{"depth_mm", {{"p10", depth.p10}, {"p50", depth.p50}, {"p90", depth.p90}}},
                                             {"material", material->name},
                                             {"light", light->name},
                                             {"mode", light->modes.front().name},
                                             {"exitance_mw_cm2", exitance},
                                             {"seconds", options.seconds},
                                             {"standoff_mm", options.standoff_mm},
                                             {"draws", calibration.ensemble.draws.size()},
                                             {"proposals", calibration.ensemble.proposals},
                                             {"effective_sample_size", calibration.ensemble.effective_sample_size},
                                             {"facts_set_aside", calibration.set_aside},
                                             {"seed", options.seed}};
    std::cout << document.dump(2) << '\n';
    return 0;
  }
  std::printf("%s, %g s under %s (%.0f mW/cm2): a scrape test would find %.1f mm, %.1f to %.1f.\n\n",
              material->name.c_str(), options.seconds, light->name.c_str(), exitance, depth.p50, depth.p10, depth.p90);
  std::printf(
      "Half the length left after scraping (ISO 4049), with the interval that 8 of 10 draws lie in; read at once,\n"
      "at room temperature. It says what a spatula finds, not that the bottom is cured well enough.\n");
  for (const std::string& fact : calibration.set_aside) std::printf("Not used: %s.\n", fact.c_str());
  return 0;
}

}  // namespace

void add_scrape_command(CLI::App& app, const std::function<void(Action)>& choose) {
  auto options = std::make_shared<ScrapeOptions>();
  CLI::App* command = app.add_subcommand("scrape", "the scrape test of a material under a light, simulated");
  command->add_option("material", options->material, "the material's file")->required();
  command->add_option("light", options->light, "the light's file; its first mode is used")->required();
  command->add_option("--seconds", options->seconds, "time of the exposure [s]")->required();
  command->add_option("--standoff", options->standoff_mm, "gap between tip and resin [mm]")->capture_default_str();
  command->add_option("--photons", options->photons, "photon packets for each of five scatterings")
      ->capture_default_str();
  add_seed(*command, options->seed);
  add_threads(*command, options->threads);
  add_json(*command, options->json);
  command->footer(
      "Example:\n  throughcure scrape demo/materials/universal-paste-a3.toml demo/lights/demo-light.toml --seconds 20");
  run_when_named(*command, choose, options, run_scrape_command);
}

}  // namespace throughcure::apps
