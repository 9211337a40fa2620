// throughcure beam: what a light gives, in numbers and as a map.
#include <cmath>
#include <filesystem>
#include <iostream>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "beam_text.hpp"
#include "common_options.hpp"
#include "throughcure/base/number_text.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/draw/beam_map.hpp"
#include "throughcure/draw/paint_png.hpp"
#include "throughcure/exchange/light_file.hpp"
#include "throughcure/optics/beam_report.hpp"
#include "throughcure/optics/exitance_image.hpp"

namespace throughcure::apps {

namespace {

struct BeamOptions {
  std::string light;
  std::string out;
  optics::BeamQuestions questions;
  bool json = false;
};

void check(const BeamOptions& options, base::Problems& problems) {
  const double below = options.questions.below_mw_cm2;
  if (!(below > 0) || !std::isfinite(below)) {
    problems.push_back({"", 0, 0, "--below", base::number_text(below) + " is no irradiance",
                        "Give a number above 0, in mW/cm2, for example 400"});
  }
  if (!options.out.empty() && std::filesystem::path(options.out).extension() != ".png") {
    problems.push_back({"", 0, 0, "--out", "'" + options.out + "' does not end in .png",
                        "The map is written as PNG only: name the file so, for example beam.png"});
  }
}

/// The first sentence and the one on the weak part, with the unit as it is printed.
std::string map_sentence(const optics::Light& light, const optics::BeamReport& report) {
  const std::vector<std::string> all = beam_sentences(light, report);
  std::string text = all[0] + " " + all[2];
  constexpr std::string_view plain = "cm2";
  for (std::size_t at = text.find(plain); at != std::string::npos; at = text.find(plain, at)) {
    text.replace(at, plain.size(), "cm²");
  }
  return text;
}

void go_on(const Context& context) {
  if (context.stop.stop_requested()) throw base::Interrupted();
}

/// Throws InputError with all that is wrong with the options and with the light.
optics::Light read(const BeamOptions& options) {
  base::Problems problems;
  check(options, problems);
  std::optional<optics::Light> light = exchange::read_light(options.light, problems);
  if (!light || !problems.empty()) throw base::InputError(std::move(problems));
  return *std::move(light);
}

int run_beam_command(const BeamOptions& options, const Context& context) {
  const optics::Light light = read(options);
  go_on(context);
  const optics::BeamImage image = optics::exitance_image(light);
  const optics::BeamReport report = optics::beam_report(light, image, options.questions);
  go_on(context);
  if (!options.out.empty()) {
    const draw::Picture map = draw::beam_map({.heading = light.name,
                                              .sentence = map_sentence(light, report),
                                              .tip_diameter_mm = light.tip_diameter_mm,
                                              .mw_cm2 = image,
                                              .spots = report.spots,
                                              .below_mw_cm2 = options.questions.below_mw_cm2});
    const std::string bytes = draw::paint_png(map);
    go_on(context);
    base::write_file(options.out, bytes);
  }
  std::cout << (options.json ? beam_json(light, report) : beam_text(light, report));
  return 0;
}

}  // namespace

void add_beam_command(CLI::App& app, const std::function<void(Action)>& choose) {
  auto options = std::make_shared<BeamOptions>();
  CLI::App* command = app.add_subcommand("beam", "what a light gives: output, spectrum, evenness, distance, and a map");
  command->add_option("LIGHT", options->light, "the light's file, TOML")->required();
  command->add_option("--out", options->out, "write the beam's map to this file, PNG");
  command->add_option("--below", options->questions.below_mw_cm2, "how much of the tip stays below this, in mW/cm2")
      ->capture_default_str();
  add_json(*command, options->json);
  command->footer(
      "Example:\n"
      "  throughcure beam demo/lights/demo-light.toml --out beam.png\n\n"
      "Widths are those of ISO 11146-1, flatness and uniformity those of ISO 13694.");
  run_when_named(*command, choose, options, run_beam_command);
}

}  // namespace throughcure::apps
