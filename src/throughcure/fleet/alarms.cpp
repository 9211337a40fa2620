#include "throughcure/fleet/alarms.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>
#include <set>
#include <tuple>
#include <utility>

#include "throughcure/base/random.hpp"
#include "throughcure/fleet/normal.hpp"

namespace throughcure::fleet {

namespace {

constexpr std::uint32_t kPurpose = 0x414c52;
constexpr std::size_t kNever = std::numeric_limits<std::size_t>::max();

/// What the readings so far say of those to come.
struct Learned : ChartsLearned {
  void take(double x, double factor_sd) {
    n += 1;
    const double off = x - mean;
    mean += off / n;
    squares += off * (x - mean);
    barrier_sd += (factor_sd - barrier_sd) / n;
  }

  [[nodiscard]] double z(double x, double factor_sd, const ScatterPrior& prior) const {
    if (n == 0) return 0;
    const Scatter s = scatter_of(squares, n - 1, prior);
    const double barrier = factor_sd - barrier_sd;
    return normal_from_t((x - mean) / std::sqrt(s.sd * s.sd * (1 + 1 / n) + barrier * barrier), s.dof);
  }
};

struct Raised {
  Signal signal;
  Side side = Side::kLow;
};

/// Signals of all charts on `z`, by point, then by rule.
std::vector<Raised> signals_of(std::span<const double> z, const AlarmSettings& settings) {
  constexpr InControl standard{.target = 0, .sigma = 1};
  std::vector<Raised> raised;
  const auto add = [&](const std::vector<Signal>& signals, auto&& side) {
    for (const Signal& signal : signals) raised.push_back({signal, side(signal)});
  };
  const auto side_of = [](double off) { return off > 0 ? Side::kHigh : Side::kLow; };
  // The individuals chart without its warnings, which nobody asks for here.
  const auto of_point = [&](const Signal& signal) { return side_of(z[signal.at]); };
  const IndividualsSettings& single = settings.individuals;
  add(run_signals(z, standard, {.rule = Rule::kBeyondLimits, .length = 1, .sigmas = single.L}), of_point);
  for (const RunRule& rule : single.runs) add(run_signals(z, standard, rule), of_point);
  std::vector<Signal> apart;
  for (std::size_t i = 1; i < z.size(); ++i) {
    if (std::abs(z[i] - z[i - 1]) <= single.moving_range || std::abs(z[i]) < std::abs(z[i - 1])) continue;
    apart.push_back({.at = i, .rule = Rule::kMovingRange, .change_at = i});
  }
  add(apart, of_point);
  std::vector<double> held(z.begin(), z.end());
  for (double& value : held) value = std::clamp(value, -settings.most_z, settings.most_z);
  const EwmaChart ewma = ewma_chart(held, standard, settings.ewma);
  add(ewma.signals, [&](const Signal& signal) { return side_of(ewma.z[signal.at]); });
  add(cusum_chart(held, standard, settings.cusum).signals,
      [&](const Signal& signal) { return signal.rule == Rule::kCusumHigh ? Side::kHigh : Side::kLow; });
  std::ranges::sort(raised, {}, [](const Raised& r) { return std::tuple(r.signal.at, r.signal.rule, r.side); });
  return raised;
}

/// The first point after which the quick charts have been silent for `quiet` points in a row, from `from` on.
std::size_t quiet_after(std::span<const Raised> raised, std::size_t from, std::size_t points, std::size_t quiet) {
  std::size_t silent_since = from + 1;
  for (const Raised& r : raised) {
    if (r.signal.at < silent_since || r.signal.rule == Rule::kCusumHigh || r.signal.rule == Rule::kCusumLow) continue;
    if (r.signal.at >= silent_since + quiet) break;
    silent_since = r.signal.at + 1;
  }
  return silent_since + quiet <= points ? silent_since + quiet : kNever;
}

/// One series as it is gone through.
class Run {
 public:
  Run(const Series& series, const AlarmSettings& settings) : series_(series), settings_(settings) {
    x_.reserve(series.points.size());
    for (const SeriesPoint& point : series.points) x_.push_back(std::log(point.share));
    out_.z.resize(x_.size());
  }

  void forget() { learned_ = {}; }
  void resume(const ChartsLearned& learned) { learned_ = {learned}; }
  void begin(std::size_t at) { out_.last_start = {.point = at, .learned = learned_}; }

  /// Charts begin at `from` and end before `to`, or where they are quiet again after an alarm, and then begin again.
  void part(std::size_t from, std::size_t to) {
    while (from < to) {
      begin(from);
      from = charts(from, to);
    }
  }

  SeriesAlarms finish() {
    const std::size_t last = x_.size() - 1;
    for (Alarm& alarm : out_.alarms) {
      const auto bare = [](const SeriesPoint& point) { return !point.barrier_on; };
      alarm.needs_bare_reading =
          std::none_of(series_.points.begin() + static_cast<std::ptrdiff_t>(alarm.at), series_.points.end(), bare);
    }
    for (const Raised& r : standing_) {
      if (r.signal.at != last) continue;
      const auto it = std::find_if(out_.alarms.rbegin(), out_.alarms.rend(), [&](const Alarm& alarm) {
        return alarm.rule == r.signal.rule && alarm.side == r.side;
      });
      if (it != out_.alarms.rend()) it->stands = true;
    }
    out_.target = learned_.mean;
    out_.sigma = scatter_of(learned_.squares, std::max(0.0, learned_.n - 1), settings_.scatter).sd;
    out_.learned_from = static_cast<std::size_t>(learned_.n);
    return std::move(out_);
  }

 private:
  [[nodiscard]] double z(std::size_t i) const {
    return learned_.z(x_[i], series_.points[i].ln_factor_sd, settings_.scatter);
  }
  void learn(std::size_t i) { learned_.take(x_[i], series_.points[i].ln_factor_sd); }

  [[nodiscard]] std::span<const double> z_between(std::size_t from, std::size_t to) const {
    return std::span(out_.z).subspan(from, to - from);
  }

  std::size_t charts(std::size_t from, std::size_t to) {
    // The charts look back only: a stretch that grows finds the same as the whole, without going to the end each time.
    const Learned before = learned_;
    std::size_t reach = from;
    const auto further = [&] { return std::min(to, from + std::max<std::size_t>(64, 4 * (reach - from))); };
    std::vector<Raised> raised;
    standing_.clear();
    while (raised.empty()) {
      if (reach == to) return to;
      for (const std::size_t end = further(); reach < end; ++reach) {
        out_.z[reach] = z(reach);
        learn(reach);
      }
      raised = signals_of(z_between(from, reach), settings_);
    }

    // A change: go back to what was known before it, and compare with that from there on.
    const std::size_t first = from + raised.front().signal.at;
    std::size_t change = first;
    for (const Raised& r : raised) {
      if (from + r.signal.at == first) change = std::min(change, from + r.signal.change_at);
    }
    learned_ = before;
    for (std::size_t i = from; i < change; ++i) learn(i);
    if (learned_.n == 0) learn(change++);
    for (std::size_t i = change; i < reach; ++i) out_.z[i] = z(i);
    raised = signals_of(z_between(from, reach), settings_);
    std::size_t again = quiet_after(raised, first - from, reach - from, settings_.quiet);
    while (again == kNever && reach < to) {
      for (const std::size_t end = further(); reach < end; ++reach) out_.z[reach] = z(reach);
      raised = signals_of(z_between(from, reach), settings_);
      again = quiet_after(raised, first - from, reach - from, settings_.quiet);
    }
    const std::size_t end = again == kNever ? to : from + again;
    std::set<std::pair<Rule, Side>> said;
    for (const Raised& r : raised) {
      if (from + r.signal.at >= end) break;
      if (said.emplace(r.signal.rule, r.side).second) add(r, from);
      if (again == kNever) {
        standing_.push_back({.signal = {.at = from + r.signal.at, .rule = r.signal.rule}, .side = r.side});
      }
    }
    // What was read while it was quiet is of the light as it was before.
    if (again != kNever) {
      for (std::size_t i = end - settings_.quiet; i < end; ++i) learn(i);
    }
    return end;
  }

  void add(const Raised& r, std::size_t from) {
    const std::size_t at = from + r.signal.at;
    const std::size_t change = std::min(at, from + r.signal.change_at);
    out_.alarms.push_back({.rule = r.signal.rule,
                           .side = r.side,
                           .at = at,
                           .change_at = change,
                           .raised_at = series_.points[at].at,
                           .changed_at = series_.points[change].at});
  }

  const Series& series_;
  const AlarmSettings& settings_;
  std::vector<double> x_;
  Learned learned_;
  std::vector<Raised> standing_;
  SeriesAlarms out_;
};

}  // namespace

SeriesAlarms run_alarms(const Series& series, std::span<const ServiceEvent> services, const AlarmSettings& settings) {
  return run_alarms_from({}, series, services, settings);
}

SeriesAlarms run_alarms_from(const ChartsStart& start, const Series& series, std::span<const ServiceEvent> services,
                             const AlarmSettings& settings) {
  std::vector<ServiceEvent> events;
  std::ranges::copy_if(services, std::back_inserter(events),
                       [](const ServiceEvent& e) { return e.what != Deed::kLent && e.what != Deed::kReturned; });
  std::ranges::sort(events, {}, [](const ServiceEvent& e) { return std::tuple(e.at.us, e.what); });
  Run run(series, settings);
  run.resume(start.learned);
  run.begin(start.point);
  std::size_t from = start.point;
  for (const ServiceEvent& event : events) {
    const auto first_after = std::ranges::lower_bound(series.points, event.at, {}, &SeriesPoint::at);
    const auto to = static_cast<std::size_t>(first_after - series.points.begin());
    if (to <= start.point) continue;  // the start knows of it
    run.part(from, to);
    if (event.what == Deed::kRepaired) run.forget();
    from = std::max(from, to);
  }
  run.part(from, series.points.size());
  return run.finish();
}

double average_run_length(const AlarmSettings& settings, double scatter_sd, double shift, std::size_t steady,
                          std::uint64_t runs, std::uint64_t seed) {
  double readings = 0;
  double counted = 0;
  for (std::uint64_t run = 0; run < runs; ++run) {
    base::Stream stream(seed, kPurpose, run);
    Series series;
    std::size_t first = kNever;
    for (std::size_t length = steady + 100; first == kNever && length <= 6400 + 2 * steady; length *= 4) {
      while (series.points.size() < length) {
        const double off = series.points.size() < steady ? 0 : shift;
        series.points.push_back({.share = std::exp(scatter_sd * (off + standard_normal(stream)))});
      }
      const SeriesAlarms found = run_alarms(series, {}, settings);
      if (!found.alarms.empty()) first = found.alarms.front().at;
    }
    if (first == kNever) first = series.points.size() - 1;
    if (first < steady) continue;
    readings += static_cast<double>(first - steady + 1);
    counted += 1;
  }
  return readings / counted;
}

}  // namespace throughcure::fleet
