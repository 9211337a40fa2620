// A contest: two ways to the same answer, in turn, in one run, so that a busy machine slows both alike.
#pragma once

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <benchmark/benchmark.h>
#include <time.h>

#include "throughcure/base/estimate.hpp"

namespace throughcure::bench {

/// Processor seconds of this thread: what others do on the machine is not in it.
inline double cpu_seconds() {
  timespec t{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

inline double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values.empty() ? 0 : values[values.size() / 2];
}

/// How much one round of each side does, in the unit that is counted (photons, paths, draws).
struct Work {
  double ours = 1;
  double other = 1;
};

/// Times `ours(round)` and `other(round)` in turn. Counters, medians over the rounds: `per_s` of ours, `other_per_s`,
/// and `times`: how many times as fast ours is.
template <class Ours, class Other>
void contest(benchmark::State& state, const Work& work, Ours&& ours, Other&& other) {
  std::vector<double> per_s;
  std::vector<double> other_per_s;
  std::vector<double> times;
  std::uint64_t round = 0;
  for (auto _ : state) {
    const double start = cpu_seconds();
    ours(round);
    const double between = cpu_seconds();
    other(round);
    const double end = cpu_seconds();
    state.SetIterationTime(between - start);
    per_s.push_back(work.ours / (between - start));
    other_per_s.push_back(work.other / (end - between));
    times.push_back(per_s.back() / other_per_s.back());
    ++round;
  }
  state.counters["per_s"] = median(per_s);
  state.counters["other_per_s"] = median(other_per_s);
  state.counters["times"] = median(times);
}

/// Shows a value and fails the benchmark when it lies more than 5 combined standard errors from the expected one. With
/// errors from 9 rounds each a false alarm comes once in some 5000 by Student's t; the seeds are fixed.
inline void expect(benchmark::State& state, const std::string& what, const base::Estimate& ours,
                   const base::Estimate& expected) {
  state.counters[what] = ours.value;
  state.counters[what + "_se"] = ours.se;
  if (std::abs(ours.value - expected.value) <= 5 * std::hypot(ours.se, expected.se)) return;
  const std::string text = what + " is " + std::to_string(ours.value) + " +- " + std::to_string(ours.se) +
                           ", expected " + std::to_string(expected.value) + " +- " + std::to_string(expected.se);
  state.SkipWithError(text.c_str());
}

/// Values of equal rounds.
class Answer {
 public:
  void add(double value) { values_.push_back(value); }
  [[nodiscard]] base::Estimate estimate() const { return base::estimate_from_batches(values_); }

 private:
  std::vector<double> values_;
};

}  // namespace throughcure::bench
