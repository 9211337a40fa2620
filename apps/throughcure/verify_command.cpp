// throughcure verify: every published experiment of validation/, run again and compared.
#include <cstdio>
#include <iostream>
#include <memory>
#include <string>
#include <vector>

#include "common_options.hpp"
#include "progress_line.hpp"
#include "verify/checks_json.hpp"
#include "verify/cure_summary.hpp"
#include "verify/experiments.hpp"
#include "verify/studies.hpp"

namespace throughcure::apps {

namespace {

struct VerifyOptions {
  std::string group;
  unsigned threads = base::hardware_threads();
  bool precise = false;
  bool json = false;
};

/// Misfits that count, other misfits, what fits and does not count, then what fits and counts.
constexpr int kPlaces = 4;
int place(const verify::Check& check) {
  if (!check.inside) return check.counted ? 0 : 1;
  return check.counted ? 3 : 2;
}

const char* word_for(const verify::Check& check) {
  if (!check.ours) return "not run";
  return check.inside ? "inside" : "OUTSIDE";
}

void print_row(const verify::Check& check) {
  std::printf("%-46s %11.5g ", check.id.c_str(), check.published);
  if (check.ours) {
    std::printf("%11.5g %11.5g %11.5g", *check.ours, check.low.value_or(*check.ours), check.high.value_or(*check.ours));
  } else {
    std::printf("%11s %11s %11s", "-", "-", "-");
  }
  std::printf("  %-8s %s\n", word_for(check), check.counted ? "yes" : ("no: " + check.why_not).c_str());
}

void print(const std::vector<verify::Check>& checks, const verify::Summary& sum, const verify::CureSummary& cure) {
  std::printf("%s\n%s\n%-46s %11s %11s %11s %11s  %-8s %s\n", verify::sentences(sum).c_str(),
              verify::sentences(cure).c_str(), "check", "published", "ours", "low", "high", "", "counts");
  for (int p = 0; p < kPlaces; ++p) {
    for (const verify::Check& check : checks) {
      if (place(check) == p) print_row(check);
    }
  }
}

int run_verify_command(const VerifyOptions& options, const Context& context) {
  const std::vector<exchange::ValidationRow> rows = verify::embedded_rows(options.group);
  ProgressLine line;
  const std::vector<verify::Check> checks =
      verify::run_checks(rows, options.precise ? verify::kPrecise : verify::kCoarse,
                         {.threads = options.threads, .stop = context.stop, .progress = line.sink()});
  line.clear();
  const verify::Summary sum = verify::summary(checks);
  const verify::CureSummary cure = verify::cure_summary(checks);
  if (options.json) {
    std::cout << verify::json_text(checks, sum, cure) << '\n';
  } else {
    print(checks, sum, cure);
  }
  return 0;
}

}  // namespace

void add_verify_command(CLI::App& app, const std::function<void(Action)>& choose) {
  auto options = std::make_shared<VerifyOptions>();
  CLI::App* command = app.add_subcommand("verify", "published experiments, run again and compared");
  command->add_option("--group", options->group, "only this group")
      ->check(CLI::IsMember({"transport", "beam", "optics", "cure"}));
  add_threads(*command, options->threads);
  command->add_flag("--precise", options->precise, "to a standard error of 0.0002 instead of 0.0005; takes minutes");
  add_json(*command, options->json);
  command->footer(
      "Exit status 0 when it ran, whether everything fits or not: look at \"inside\".\n"
      "Example:\n"
      "  throughcure verify --group beam --json");
  run_when_named(*command, choose, options, run_verify_command);
}

}  // namespace throughcure::apps
