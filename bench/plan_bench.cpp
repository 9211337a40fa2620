// A dragged tip, step by step, and a cold case: demo/class2-upright.toml with its rays there, class2-poor.toml from
// cold.
#include <algorithm>
#include <filesystem>
#include <memory>
#include <string>
#include <utility>

#include <benchmark/benchmark.h>

#include "throughcure/base/number_text.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/kept_cases.hpp"
#include "throughcure/draw/picture_json.hpp"
#include "throughcure/draw/section_picture.hpp"
#include "throughcure/exchange/case_document.hpp"
#include "throughcure/exchange/case_file.hpp"
#include "throughcure/exchange/knowledge.hpp"
#include "throughcure/plan/field.hpp"
#include "throughcure/plan/judge.hpp"
#include "throughcure/plan/solve.hpp"
#include "throughcure/service/plan_answer.hpp"
#include "throughcure/service/remembered_files.hpp"

namespace throughcure::bench {
namespace {

constexpr unsigned kThreads = 2;
constexpr plan::FluenceEffort kWhole{.hand_poses = 8, .every = 1};
constexpr int kRounds = 15;

plan::Case read_demo(const std::string& name) {
  base::Problems problems;
  auto c = exchange::read_case(std::filesystem::path(THROUGHCURE_SOURCE_DIR) / "demo" / name, problems);
  if (!c) throw base::InputError(std::move(problems));
  return *std::move(c);
}

base::Running two() { return {.threads = kThreads}; }

/// A page with the upright case open, its rays walked by one settled answer.
struct OpenPage {
  std::filesystem::path folder = std::filesystem::path(THROUGHCURE_SOURCE_DIR) / "demo";
  service::RememberedFiles files{folder};
  desk::KeptCases cases{exchange::knowledge()};
  service::Drawings drawings;
  std::string document = exchange::case_document_json(folder / "class2-upright.toml");

  OpenPage() { service::verdict_answer(request(0, "full"), cases, drawings, two()); }

  [[nodiscard]] std::string body(int step, const std::string& precision) const {
    std::string moved = document;
    // The last exposure's standoff follows the finger.
    const std::string before = "\"standoff_mm\":";
    const std::size_t at = moved.rfind(before) + before.size();
    moved.replace(at, moved.find_first_of(",}", at) - at, base::number_text(0.1 * (step % 20)));
    return R"({"document":)" + moved + R"(,"precision":")" + precision + R"(","view":{"plane":"mesiodistal"}})";
  }
  [[nodiscard]] service::PlanRequest request(int step, const std::string& precision) {
    return service::read_plan_request(body(step, precision), service::PlanQuestion::kVerdict, files.case_files());
  }
  [[nodiscard]] std::shared_ptr<desk::KeptCase> kept() {
    const service::PlanRequest any = request(0, "drag");
    return cases.of(any.key, any.c, two());
  }
};

OpenPage& page() {
  static OpenPage open;
  return open;
}

void drag_whole(benchmark::State& state) {
  OpenPage& open = page();
  int step = 0;
  for (auto _ : state) {
    const service::PlanRequest request = open.request(++step, "drag");
    benchmark::DoNotOptimize(service::verdict_answer(request, open.cases, open.drawings, two()));
  }
}

void drag_parse(benchmark::State& state) {
  OpenPage& open = page();
  int step = 0;
  for (auto _ : state) benchmark::DoNotOptimize(open.request(++step, "drag"));
}

void drag_answer(benchmark::State& state) {
  OpenPage& open = page();
  int step = 0;
  service::PlanRequest request = open.request(0, "drag");
  for (auto _ : state) {
    request.c.schedule.back().pose.standoff_mm = 0.1 * (++step % 20);
    benchmark::DoNotOptimize(service::verdict_answer(request, open.cases, open.drawings, two()));
  }
}

void drag_tips(benchmark::State& state) {
  const auto kept = page().kept();
  for (auto _ : state) {
    benchmark::DoNotOptimize(
        plan::hold_tips(*kept->ground, kept->ground->c.schedule, static_cast<std::size_t>(state.range(0)), two()));
  }
}

void light(benchmark::State& state, const plan::FluenceEffort& effort) {
  const auto kept = page().kept();
  const auto& schedule = kept->ground->c.schedule;
  const auto tips = plan::hold_tips(*kept->ground, schedule, effort.hand_poses, two());
  for (auto _ : state) {
    benchmark::DoNotOptimize(plan::fluence_of(*kept->ground, kept->rays, schedule, tips, effort, two()));
  }
  const plan::Verdict verdict = plan::judge(*kept->ground, kept->rays, schedule,
                                            plan::fluence_of(*kept->ground, kept->rays, schedule, tips, effort, two()));
  double worst = 0;
  for (const plan::CellVerdict& cell : verdict.cells) worst = std::max(worst, cell.decides ? cell.relative_se : 0);
  state.counters["worst_se"] = worst;
  state.counters["P"] = verdict.probability;
  state.counters["P_se"] = verdict.probability_se;
}
void drag_light(benchmark::State& state) { light(state, service::kDraggedLight); }
void whole_light(benchmark::State& state) { light(state, kWhole); }

void drag_judge(benchmark::State& state) {
  const auto kept = page().kept();
  const auto& schedule = kept->ground->c.schedule;
  const auto fluence = plan::fluence_of(*kept->ground, kept->rays, schedule, service::kDraggedLight, two());
  for (auto _ : state) benchmark::DoNotOptimize(plan::judge(*kept->ground, kept->rays, schedule, fluence));
}

void drag_field(benchmark::State& state) {
  const auto kept = page().kept();
  const plan::Rays& rays = kept->field_rays.begin()->second;
  for (auto _ : state) {
    benchmark::DoNotOptimize(plan::field(*kept->ground, rays, kept->ground->c.schedule, two()));
  }
}

void drag_picture(benchmark::State& state) {
  const auto kept = page().kept();
  const plan::Ground& ground = *kept->ground;
  const auto& schedule = ground.c.schedule;
  const draw::SectionBase base =
      draw::section_base(ground.c.site, ground.states[schedule.back().state], {anatomy::CutDirection::kMesiodistal, 0});
  draw::SectionShown what;
  what.field = plan::field(ground, kept->field_rays.begin()->second, schedule, two());
  const plan::Verdict verdict = plan::judge(
      ground, kept->rays, schedule, plan::fluence_of(ground, kept->rays, schedule, service::kDraggedLight, two()));
  what.cells = verdict.cells;
  what.worst = verdict.worst;
  what.tips = {plan::tip_places(ground, schedule).back()};
  what.criterion = ground.priors.criterion.hardness_ratio.value;
  for (auto _ : state) benchmark::DoNotOptimize(draw::to_json(draw::section_picture(base, what, draw::kLightLook)));
}

void cold_prepare(benchmark::State& state) {
  const plan::Case poor = read_demo("class2-poor.toml");
  const plan::Knowledge knowledge = exchange::knowledge();
  for (auto _ : state) benchmark::DoNotOptimize(plan::prepare(poor, knowledge, {}, two()));
}

/// The verdict alone, to 2 %, from cold.
void cold_solve(benchmark::State& state) {
  const plan::Case poor = read_demo("class2-poor.toml");
  const plan::Ground ground = plan::prepare(poor, exchange::knowledge(), {}, two());
  for (auto _ : state) {
    const plan::Solution solution = plan::solve(ground, poor.schedule, {}, two());
    state.counters["paths"] = static_cast<double>(solution.paths);
    state.counters["worst_se"] = solution.worst_relative_se;
    state.counters["P"] = solution.verdict.probability;
    state.counters["P_se"] = solution.verdict.probability_se;
  }
}

#define THROUGHCURE_TIMED(name) \
  BENCHMARK(name)->Iterations(kRounds)->MeasureProcessCPUTime()->UseRealTime()->Unit(benchmark::kMillisecond)
THROUGHCURE_TIMED(drag_whole);
THROUGHCURE_TIMED(drag_parse);
THROUGHCURE_TIMED(drag_answer);
THROUGHCURE_TIMED(drag_tips)->Arg(1)->Arg(4)->Arg(8);
THROUGHCURE_TIMED(drag_light);
THROUGHCURE_TIMED(drag_judge);
THROUGHCURE_TIMED(drag_field);
THROUGHCURE_TIMED(drag_picture);
THROUGHCURE_TIMED(whole_light);
BENCHMARK(cold_prepare)->Iterations(1)->MeasureProcessCPUTime()->UseRealTime()->Unit(benchmark::kMillisecond);
BENCHMARK(cold_solve)->Iterations(1)->MeasureProcessCPUTime()->UseRealTime()->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace throughcure::bench
