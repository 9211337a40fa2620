// throughcure solve: does this restoration cure through, how sure are we, why, and what would make it so.
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <iostream>
#include <memory>
#include <optional>
#include <string>

#include "common_options.hpp"
#include "progress_line.hpp"
#include "solve_files.hpp"
#include "solve_text.hpp"
#include "throughcure/base/number_text.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/case_file.hpp"
#include "throughcure/exchange/knowledge.hpp"
#include "throughcure/exchange/verdict_document.hpp"
#include "throughcure/plan/mend.hpp"
#include "throughcure/plan/solve.hpp"
#include "throughcure/plan/why.hpp"

namespace throughcure::apps {

namespace {

struct SolveOptions {
  std::string file;
  std::string out;
  double precision = 0.02;
  std::uint64_t seed = 1;
  unsigned threads = base::hardware_threads();
  bool json = false;
};

plan::Case read(const SolveOptions& options) {
  base::Problems problems;
  if (std::isnan(options.precision) || options.precision < 0.002 || options.precision > 0.5) {
    problems.push_back({"", 0, 0, "--precision", base::number_text(options.precision) + " is not from 0.002 to 0.5",
                        "Give the relative standard error wanted of the light at each floor, for example 0.02"});
  }
  std::optional<plan::Case> c = exchange::read_case(options.file, problems);
  if (!c || !problems.empty()) throw base::InputError(std::move(problems));
  return *std::move(c);
}

exchange::PlainTable document(const Solved& solved, const SolveOptions& options) {
  exchange::PlainTable all = exchange::verdict_document(solved.ground, solved.solution.verdict);
  all.insert(all.begin(), {"case", exchange::plain(solved.ground.c.name)});
  exchange::PlainTable why = exchange::why_document(solved.ground, solved.why);
  exchange::PlainList mends;
  for (const plan::Mend& mend : solved.mends) {
    exchange::PlainTable one = exchange::mend_document(mend);
    one.push_back({"exposure", exchange::plain(exchange::schedule_document(solved.ground, mend.schedule))});
    mends.push_back(exchange::plain(std::move(one)));
  }
  why.push_back({"mends", exchange::plain(std::move(mends))});
  all.push_back({"why", exchange::plain(std::move(why))});
  all.push_back({"precision", exchange::plain(options.precision)});
  all.push_back({"worst_relative_se", exchange::plain(solved.solution.worst_relative_se)});
  all.push_back({"paths", exchange::plain(static_cast<std::size_t>(solved.solution.paths))});
  all.push_back({"relative_se_of_draws", exchange::plain(solved.solution.fluence.relative_se_of_draws)});
  exchange::PlainList aside;
  for (const std::string& fact : solved.ground.set_aside) aside.push_back(exchange::plain(fact));
  all.push_back({"facts_set_aside", exchange::plain(std::move(aside))});
  all.push_back({"seed", exchange::plain(static_cast<std::size_t>(options.seed))});
  return all;
}

int run_solve_command(const SolveOptions& options, const Context& context) {
  plan::Case c = read(options);
  ProgressLine line;
  const base::Running running{.threads = options.threads, .stop = context.stop, .progress = line.sink()};
  const std::vector<plan::Exposure> schedule = c.schedule;
  plan::Ground ground = plan::prepare(std::move(c), exchange::knowledge(),
                                      {.seed = options.seed, .mould = {.seed = options.seed}}, running);
  plan::SolveEffort effort;
  effort.precision = options.precision;
  effort.seed = options.seed;
  plan::Solution solution = plan::solve(ground, schedule, effort, running);
  plan::Why why = plan::explain(ground, schedule, solution.verdict.worst, solution, effort, running);
  plan::Rays rays = solution.rays;
  std::vector<plan::Mend> mends = plan::mends(ground, schedule, solution.verdict, rays, effort, running);
  const Solved solved{std::move(ground), schedule, std::move(solution), std::move(why), std::move(mends)};
  const std::string json = exchange::to_json(document(solved, options), 2);
  if (!options.out.empty()) write_solve_files(options.out, solved, json, options.seed, running);
  line.clear();
  std::cout << (options.json ? json + "\n" : solve_text(solved));
  return 0;
}

}  // namespace

void add_solve_command(CLI::App& app, const std::function<void(Action)>& choose) {
  auto options = std::make_shared<SolveOptions>();
  CLI::App* command = app.add_subcommand("solve", "does a restoration cure through, why, and what would make it so");
  command->add_option("CASE", options->file, "the case's file, TOML")->required();
  command->add_option("--out", options->out, "folder for pictures, fields, the JSON and the resolved case");
  command->add_option("--precision", options->precision, "relative standard error of the light at each floor cell")
      ->capture_default_str();
  add_seed(*command, options->seed);
  add_threads(*command, options->threads);
  add_json(*command, options->json);
  command->footer(
      "Example:\n  throughcure solve demo/class2-poor.toml --out poor\n\n"
      "An aid to a licensed professional: the instructions for use come first.");
  run_when_named(*command, choose, options, run_solve_command);
}

}  // namespace throughcure::apps
