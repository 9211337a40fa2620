// throughcure chart: readings in the order in which they were taken, on a control chart.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <iostream>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include <nlohmann/json.hpp>

#include "common_options.hpp"
#include "throughcure/base/number_text.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/chart_csv.hpp"
#include "throughcure/fleet/run_length.hpp"

namespace throughcure::apps {

namespace {

struct ChartOptions {
  std::string file;
  std::string method = "individuals";
  std::optional<double> target;
  std::optional<double> sigma;
  std::size_t baseline = 0;
  double lambda = fleet::EwmaSettings{}.lambda;
  double k = fleet::CusumSettings{}.k;
  double h = fleet::CusumSettings{}.h;
  double L = fleet::IndividualsSettings{}.L;
  bool json = false;
};

/// Histories that the false alarms of the individuals chart are counted on.
constexpr std::uint64_t kHistories = 4000;
constexpr std::uint64_t kSeed = 1;

void refuse_bad_numbers(const ChartOptions& options) {
  base::Problems problems;
  const auto need = [&](bool fine, const char* name, const char* what, const char* remedy) {
    if (!fine) problems.push_back({"", 0, 0, name, what, remedy});
  };
  need(!options.target || std::isfinite(*options.target), "--target", "it is no number that can be used",
       "Give the value of a light that has not changed");
  need(!options.sigma || (std::isfinite(*options.sigma) && *options.sigma > 0), "--sigma", "it must be above 0",
       "Give the standard deviation of readings of a light that has not changed");
  need(options.lambda > 0 && options.lambda <= 1, "--lambda", "it must be above 0 and at most 1",
       "Give the weight of the newest value, for example 0.2");
  need(options.k >= 0 && options.k <= 100, "--k", "it must be from 0 to 100 sigma", "Give half the step to be found");
  need(options.h > 0 && options.h <= 1000, "--h", "it must be above 0 and at most 1000 sigma",
       "Give the decision limit in sigma, for example 5");
  need(options.L > 0 && options.L <= 100, "--L", "it must be above 0 and at most 100 sigma",
       "Give the distance of the limits in sigma, for example 3");
  refuse_if_any(problems);
}

/// What is given, and for what is not: the estimate over the readings of the baseline.
fleet::InControl in_control_of(const ChartOptions& options, std::span<const double> values) {
  if (options.baseline > values.size()) {
    throw base::InputError(
        {{options.file, 0, 0, "--baseline",
          std::to_string(options.baseline) + " readings are more than the file has, " + std::to_string(values.size()),
          "Give a smaller number"}});
  }
  const auto base = options.baseline > 0 ? values.first(options.baseline) : values;
  if (!options.sigma && base.size() < 2) {
    throw base::InputError({{options.file, 0, 0, "value", "one reading has no scatter to estimate",
                             "Give two readings or more, or --sigma"}});
  }
  const fleet::InControl estimate = fleet::estimate_in_control(base);
  const fleet::InControl in_control{.target = options.target.value_or(estimate.target),
                                    .sigma = options.sigma.value_or(estimate.sigma)};
  if (!(in_control.sigma > 0)) {
    throw base::InputError(
        {{options.file, 0, 0, "value", "the readings that the scatter is estimated from are all equal",
          "Give --sigma, the standard deviation of readings of a light that has not changed"}});
  }
  return in_control;
}

/// A chart as it is shown, whatever its method: columns beside the values, signals, and the price in false alarms.
struct Drawn {
  struct Column {
    std::string name;
    std::vector<std::optional<double>> of_point;
  };
  std::vector<Column> columns;
  std::vector<fleet::Signal> signals;
  std::vector<fleet::Signal> warnings;
  nlohmann::ordered_json settings;
  double in_control_arl = 0;
};

Drawn::Column column(const char* name, const std::vector<double>& values) {
  return {name, {values.begin(), values.end()}};
}
Drawn::Column constant(const char* name, double value, std::size_t points) {
  return {name, std::vector<std::optional<double>>(points, value)};
}

Drawn draw_individuals(const ChartOptions& options, std::span<const double> values,
                       const fleet::InControl& in_control) {
  fleet::IndividualsSettings settings;
  settings.L = options.L;
  const fleet::IndividualsChart chart = individuals_chart(values, in_control, settings);
  Drawn::Column range{"moving_range", {std::nullopt}};
  range.of_point.insert(range.of_point.end(), chart.moving_range.begin(), chart.moving_range.end());
  return {.columns = {constant("lcl", chart.lcl, values.size()), constant("ucl", chart.ucl, values.size()), range,
                      constant("moving_range_ucl", chart.moving_range_ucl, values.size())},
          .signals = chart.signals,
          .warnings = chart.warnings,
          .settings = {{"L", options.L},
                       {"moving_range_limit", settings.moving_range},
                       {"run", settings.runs.front().length}},
          .in_control_arl = average_run_length(settings, 0, kHistories, kSeed)};
}

Drawn draw_ewma(const ChartOptions& options, std::span<const double> values, const fleet::InControl& in_control) {
  const fleet::EwmaSettings settings{.lambda = options.lambda, .L = options.L};
  const fleet::EwmaChart chart = ewma_chart(values, in_control, settings);
  return {.columns = {column("z", chart.z), constant("lcl", chart.lcl, values.size()),
                      constant("ucl", chart.ucl, values.size())},
          .signals = chart.signals,
          .warnings = {},
          .settings = {{"lambda", options.lambda}, {"L", options.L}},
          .in_control_arl = average_run_length(settings, 0)};
}

Drawn draw_cusum(const ChartOptions& options, std::span<const double> values, const fleet::InControl& in_control) {
  const fleet::CusumSettings settings{.k = options.k, .h = options.h};
  const fleet::CusumChart chart = cusum_chart(values, in_control, settings);
  return {.columns = {column("c_plus", chart.c_plus), column("c_minus", chart.c_minus)},
          .signals = chart.signals,
          .warnings = {},
          .settings = {{"k", options.k}, {"h", options.h}},
          .in_control_arl = average_run_length(settings, 0)};
}

/// Points count from 1, as on paper.
nlohmann::ordered_json as_json(const std::vector<fleet::Signal>& signals) {
  nlohmann::ordered_json all = nlohmann::ordered_json::array();
  for (const auto& [at, rule, change_at] : signals) {
    all.push_back({{"i", at + 1}, {"rule", word(rule)}, {"change_at", change_at + 1}});
  }
  return all;
}

nlohmann::ordered_json as_json(const ChartOptions& options, const exchange::ChartSeries& series,
                               const fleet::InControl& in_control, const Drawn& drawn) {
  nlohmann::ordered_json points = nlohmann::ordered_json::array();
  for (std::size_t i = 0; i < series.value.size(); ++i) {
    nlohmann::ordered_json point = {{"i", i + 1}, {"value", series.value[i]}};
    if (!series.time.empty()) point["time"] = series.time[i];
    for (const auto& [name, of_point] : drawn.columns) {
      if (const auto& number = of_point[i]; number) point[name] = *number;
    }
    points.push_back(point);
  }
  return {{"method", options.method},
          {"target", in_control.target},
          {"sigma", in_control.sigma},
          {"settings", drawn.settings},
          {"in_control_arl", drawn.in_control_arl},
          {"points", points},
          {"signals", as_json(drawn.signals)},
          {"warnings", as_json(drawn.warnings)}};
}

std::string_view in_words(fleet::Rule rule) {
  switch (rule) {
    case fleet::Rule::kBeyondLimits:
      return "a value outside its limits";
    case fleet::Rule::kTwoBeyondTwoSigma:
      return "two in a row beyond two sigma";
    case fleet::Rule::kFourBeyondOneSigma:
      return "four in a row beyond one sigma";
    case fleet::Rule::kTenOnOneSide:
      return "ten in a row on one side of the target";
    case fleet::Rule::kMovingRange:
    case fleet::Rule::kMovingRangeHandbook:
      return "two neighbours too far apart";
    case fleet::Rule::kEwma:
      return "the moving average outside its limits";
    case fleet::Rule::kCusumHigh:
      return "the sum upwards above its limit";
    case fleet::Rule::kCusumLow:
      return "the sum downwards above its limit";
    case fleet::Rule::kBeyondTwoSigma:
      return "a value beyond two sigma";
  }
  return "";
}

void print(const exchange::ChartSeries& series, const fleet::InControl& in_control, const Drawn& drawn) {
  const auto point = [&](std::size_t i) {
    return std::to_string(i + 1) + (series.time.empty() ? "" : " (" + series.time[i] + ")");
  };
  if (drawn.signals.empty()) {
    std::printf("In control: none of the %zu readings raises an alarm.\n", series.value.size());
  } else {
    const fleet::Signal& first = drawn.signals.front();
    std::printf("Alarm at reading %s: %s. The change began at reading %s, as near as can be told.\n",
                point(first.at).c_str(), std::string(in_words(first.rule)).c_str(), point(first.change_at).c_str());
  }
  std::printf("Target %s, sigma %s. Without any change these settings raise an alarm every %.0f checks.\n\n",
              base::number_text(in_control.target).c_str(), base::number_text(in_control.sigma).c_str(),
              drawn.in_control_arl);
  std::printf("%6s %12s", "i", "value");
  for (const auto& [name, of_point] : drawn.columns) std::printf(" %16s", name.c_str());
  std::printf("\n");
  for (std::size_t i = 0; i < series.value.size(); ++i) {
    std::printf("%6zu %12.6g", i + 1, series.value[i]);
    for (const auto& [name, of_point] : drawn.columns) {
      if (const auto& number = of_point[i]; number) {
        std::printf(" %16.6g", *number);
      } else {
        std::printf(" %16s", "");
      }
    }
    for (const fleet::Signal& signal : drawn.signals) {
      if (signal.at == i) std::printf("  %s since %zu", std::string(word(signal.rule)).c_str(), signal.change_at + 1);
    }
    std::printf("\n");
  }
}

int run_chart_command(const ChartOptions& options, const Context& /*context*/) {
  refuse_bad_numbers(options);
  base::Problems problems;
  const std::optional<exchange::ChartSeries> series = exchange::read_chart_series(options.file, problems);
  if (!series) throw base::InputError(problems);
  const fleet::InControl in_control = in_control_of(options, series->value);
  const auto draw = options.method == "ewma" ? draw_ewma : options.method == "cusum" ? draw_cusum : draw_individuals;
  const Drawn drawn = draw(options, series->value, in_control);
  if (options.json) {
    std::cout << as_json(options, *series, in_control, drawn)
                     .dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace)
              << '\n';
  } else {
    print(*series, in_control, drawn);
  }
  return 0;
}

}  // namespace

void add_chart_command(CLI::App& app, const std::function<void(Action)>& choose) {
  auto options = std::make_shared<ChartOptions>();
  CLI::App* command = app.add_subcommand("chart", "readings of one light, tip and radiometer on a control chart");
  command->add_option("file", options->file, "CSV with a header: a column value, and time if it is known")->required();
  command->add_option("--method", options->method, "individuals, ewma or cusum")
      ->check(CLI::IsMember({"individuals", "ewma", "cusum"}))
      ->capture_default_str();
  command->add_option("--target", options->target, "the value in control; without it, the mean of the readings");
  command->add_option("--sigma", options->sigma,
                      "the standard deviation in control; without it, mean moving range / 1.128");
  command
      ->add_option("--baseline", options->baseline, "estimate target and sigma from the first so many readings; 0: all")
      ->capture_default_str();
  command->add_option("--lambda", options->lambda, "ewma: weight of the newest value")->capture_default_str();
  command->add_option("--k", options->k, "cusum: allowance [sigma]")->capture_default_str();
  command->add_option("--h", options->h, "cusum: decision limit [sigma]")->capture_default_str();
  command->add_option("--L", options->L, "individuals, ewma: distance of the limits [sigma]")->capture_default_str();
  add_json(*command, options->json);
  command->footer("Example:\n  throughcure chart readings.csv --method cusum --target 1000 --sigma 20");
  run_when_named(*command, choose, options, run_chart_command);
}

}  // namespace throughcure::apps
