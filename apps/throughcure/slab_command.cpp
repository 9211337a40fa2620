// throughcure slab: light through plane layers, so that anyone can check the transport against published tables.
#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <iostream>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <nlohmann/json.hpp>

#include "common_options.hpp"
#include "progress_line.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/transport/slab.hpp"

namespace throughcure::apps {

namespace {

struct SlabOptions {
  std::vector<std::string> layers;
  transport::SlabInput input;
  unsigned threads = base::hardware_threads();
  bool json = false;
};

std::optional<double> number(std::string_view text) {
  if (text == "inf") return std::numeric_limits<double>::infinity();
  double v = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), v);
  if (error != std::errc{} || end != text.data() + text.size() || std::isnan(v)) return std::nullopt;
  return v;
}

/// "mua,mus,g,n,mm" as a layer; what is wrong with it goes into `problems`.
transport::SlabLayer layer_from(const std::string& text, std::size_t index, base::Problems& problems) {
  std::vector<double> values;
  std::string_view rest = text;
  bool fine = true;
  while (fine) {
    const std::size_t comma = rest.find(',');
    const std::optional<double> v = number(rest.substr(0, comma));
    fine = v.has_value();
    values.push_back(v.value_or(0));
    if (comma == std::string_view::npos) break;
    rest.remove_prefix(comma + 1);
  }
  if (!fine || values.size() != 5) {
    problems.push_back(
        {"", 0, 0, "--layer " + std::to_string(index + 1), "'" + text + "' is not five numbers",
         "Write mua,mus,g,n,mm with mua and mus in 1/mm, for example 1,10,0.8,1.5,2; the last may be inf"});
    return {};
  }
  return {values[0], values[1], values[2], values[3], values[4]};
}

nlohmann::ordered_json as_json(const base::Estimate& e) { return {{"value", e.value}, {"se", e.se}}; }

nlohmann::ordered_json as_json(const transport::SlabResult& result, const transport::SlabInput& input) {
  nlohmann::ordered_json by_layer = nlohmann::ordered_json::array();
  for (const base::Estimate& e : result.A_by_layer) by_layer.push_back(as_json(e));
  return {{"Rsp", as_json(result.Rsp)},
          {"Rd", as_json(result.Rd)},
          {"Tt", as_json(result.Tt)},
          {"A", as_json(result.A)},
          {"A_by_layer", by_layer},
          {"photons", input.photons},
          {"seed", input.seed},
          {"ledger",
           {{"launched", result.ledger.launched},
            {"accounted", result.ledger.accounted},
            {"roulette", as_json(result.ledger.roulette)},
            {"lost", result.ledger.lost}}}};
}

void print_row(const char* name, const base::Estimate& e) {
  std::printf("%-34s %9.5f  +- %.5f\n", name, e.value, e.se);
}

void print(const transport::SlabResult& result) {
  std::printf("Of the light that falls on the layers %.1f %% comes back, %.1f %% is absorbed and %.1f %% passes.\n\n",
              100 * (result.Rsp.value + result.Rd.value), 100 * result.A.value, 100 * result.Tt.value);
  print_row("reflected at the surface (Rsp)", result.Rsp);
  print_row("reflected from within (Rd)", result.Rd);
  print_row("passed (Tt)", result.Tt);
  print_row("absorbed (A)", result.A);
  for (std::size_t i = 0; i < result.A_by_layer.size(); ++i) {
    print_row(("  in layer " + std::to_string(i + 1)).c_str(), result.A_by_layer[i]);
  }
  std::printf("\nEach is a share of the incident power, with its standard error.\n");
}

int run_slab_command(const SlabOptions& options, const Context& context) {
  transport::SlabInput input = options.input;
  base::Problems problems;
  for (std::size_t i = 0; i < options.layers.size(); ++i) {
    input.layers.push_back(layer_from(options.layers[i], i, problems));
  }
  base::refuse_if_any(problems);
  ProgressLine line;
  const transport::SlabResult result =
      run_slab(input, {.threads = options.threads, .stop = context.stop, .progress = line.sink()});
  line.clear();
  if (options.json) {
    std::cout << as_json(result, input).dump(2) << '\n';
  } else {
    print(result);
  }
  return 0;
}

}  // namespace

void add_slab_command(CLI::App& app, const std::function<void(Action)>& choose) {
  auto options = std::make_shared<SlabOptions>();
  CLI::App* command = app.add_subcommand("slab", "light through plane layers, to check the transport");
  command
      ->add_option("--layer", options->layers,
                   "mua,mus,g,n,mm from the lit side; mua and mus in 1/mm; mm may be inf in the last layer")
      ->required()
      ->expected(1)
      ->take_all();
  command->add_option("--n-above", options->input.n_above, "refractive index on the lit side")->capture_default_str();
  command->add_option("--n-below", options->input.n_below, "refractive index on the far side")->capture_default_str();
  command->add_option("--mu0", options->input.mu0, "cosine of the beam to the normal, outside")->capture_default_str();
  command->add_option("--photons", options->input.photons, "photon packets to launch")->capture_default_str();
  add_seed(*command, options->input.seed);
  add_threads(*command, options->threads);
  add_json(*command, options->json);
  command->footer(
      "Example: van de Hulst's slab, published Rd 0.09739 and Tt 0.66096\n"
      "  throughcure slab --layer 1,9,0.75,1,0.2 --photons 1000000");
  run_when_named(*command, choose, options, run_slab_command);
}

}  // namespace throughcure::apps
