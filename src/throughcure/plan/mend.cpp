#include "throughcure/plan/mend.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <utility>
#include <variant>

#include "throughcure/base/number_text.hpp"
#include "throughcure/plan/aim.hpp"

namespace throughcure::plan {

namespace {

constexpr double kWorthMending_mm = 0.25;  ///< a gap that no hand can tell from contact is left alone
constexpr double kSideSeconds = 20;        ///< wanted from each side: the longest of the light's buttons up to this

constexpr double kPrecision = 0.1;
constexpr std::uint64_t kMostPaths = 40'000;  ///< beyond what is there: light through a whole tooth takes many

/// One thing to do; nothing where it would change nothing.
using Step = std::optional<std::vector<Exposure>> (*)(const Ground&, std::vector<Exposure>);

std::optional<std::vector<Exposure>> upright_in_contact(const Ground&, std::vector<Exposure> schedule) {
  bool changed = false;
  for (Exposure& exposure : schedule) {
    changed = changed || exposure.pose.standoff_mm > kWorthMending_mm || exposure.pose.tilt_deg > 0;
    exposure.pose.standoff_mm = 0;
    exposure.pose.tilt_deg = 0;
  }
  if (!changed) return std::nullopt;
  return schedule;
}

std::optional<std::vector<Exposure>> twice_as_long(const Ground& ground, std::vector<Exposure> schedule) {
  std::vector<Exposure> longer;
  for (Exposure exposure : schedule) {
    if (ground.states[exposure.state].increments == 0) {
      longer.push_back(exposure);
    } else if (std::holds_alternative<optics::Continuous>(ground.c.light.modes[exposure.mode].course)) {
      exposure.seconds *= 2;  // two presses: a whole number of the button's times stays one
      longer.push_back(exposure);
    } else {
      longer.push_back(exposure);  // this course starts again at each press
      exposure.pause_before_s = 0;
      longer.push_back(exposure);
    }
  }
  const bool lit =
      std::ranges::any_of(schedule, [&](const Exposure& e) { return ground.states[e.state].increments > 0; });
  if (!lit) return std::nullopt;
  return longer;
}

/// The longest time of the first mode that is no longer than `seconds`; the shortest where all are.
double button(const optics::Light& light, double seconds) {
  const std::vector<double>& buttons = light.modes.front().buttons_s;
  double best = buttons.front();
  for (const double one : buttons) {
    if (one <= seconds) best = std::max(best, one);
  }
  return best;
}

std::optional<std::vector<Exposure>> from_the_sides(const Ground& ground, std::vector<Exposure> schedule) {
  std::vector<base::Point> boxes;
  for (const char* box : {"mesial box", "distal box"}) {
    if (const auto at = aim_called(ground.c.site, box)) boxes.push_back(*at);
  }
  const std::size_t last = ground.states.size() - 1;
  const bool there = std::ranges::any_of(
      schedule, [&](const Exposure& e) { return e.state == last && e.pose.from != anatomy::ToothSide::kOcclusal; });
  if (boxes.empty() || there) return std::nullopt;
  for (const base::Point& aim : boxes) {
    for (const anatomy::ToothSide side : {anatomy::ToothSide::kBuccal, anatomy::ToothSide::kLingual}) {
      Exposure exposure;
      exposure.state = last;
      exposure.pose.aim = aim;
      exposure.pose.from = side;
      exposure.pose.tilt_to = anatomy::ToothSide::kOcclusal;
      exposure.seconds = button(ground.c.light, kSideSeconds);
      schedule.push_back(exposure);
    }
  }
  return schedule;
}

struct NamedStep {
  const char* label;
  Step step;
};
constexpr std::array<NamedStep, 3> kSteps{{{"hold the light upright, on the cusps", upright_in_contact},
                                           {"add buccal and lingual exposures once the band is off", from_the_sides},
                                           {"expose each increment twice as long", twice_as_long}}};

double seconds_of(const std::vector<Exposure>& schedule) {
  double sum = 0;
  for (const Exposure& exposure : schedule) sum += exposure.seconds;
  return sum;
}

/// All steps of `which` (bits) done one after the other; nothing where one of them would change nothing.
std::optional<Mend> tried(const Ground& ground, const std::vector<Exposure>& schedule, unsigned which) {
  Mend mend;
  mend.schedule = schedule;
  // Sides last: they are not doubled with the rest.
  for (const std::size_t i : {std::size_t{0}, std::size_t{2}, std::size_t{1}}) {
    if ((which & (1U << i)) == 0) continue;
    auto changed = kSteps.at(i).step(ground, mend.schedule);
    if (!changed) return std::nullopt;
    mend.schedule = *std::move(changed);
  }
  for (std::size_t i = 0; i < kSteps.size(); ++i) {
    if ((which & (1U << i)) == 0) continue;
    if (!mend.label.empty()) mend.label += ", ";
    mend.label += kSteps.at(i).label;
  }
  mend.extra_seconds = seconds_of(mend.schedule) - seconds_of(schedule);
  return mend;
}

}  // namespace

std::vector<Mend> mends(const Ground& ground, const std::vector<Exposure>& schedule, const Verdict& verdict, Rays& rays,
                        const SolveEffort& effort, const base::Running& running) {
  SolveEffort coarse = effort;
  coarse.precision = std::max(effort.precision, kPrecision);
  coarse.most_paths = std::min(effort.most_paths, kMostPaths);
  std::vector<Mend> found;
  if (verdict.word == Word::kThroughCured) return found;
  const auto good = [](const Mend& mend) { return mend.verdict.word == Word::kThroughCured; };
  const std::array<std::vector<unsigned>, 3> rounds{{{1, 2, 4}, {3, 5, 6}, {7}}};
  for (const std::vector<unsigned>& round : rounds) {
    for (const unsigned which : round) {
      auto mend = tried(ground, schedule, which);
      if (!mend) continue;
      Solution solution = solve(ground, mend->schedule, coarse, running, rays);
      mend->verdict = std::move(solution.verdict);
      rays = std::move(solution.rays);  // with what was walked for states that the schedule did not light
      found.push_back(*std::move(mend));
    }
    if (std::ranges::any_of(found, good)) break;
  }
  std::ranges::sort(found, [&](const Mend& a, const Mend& b) {
    if (good(a) != good(b)) return good(a);
    if (good(a) && a.extra_seconds != b.extra_seconds) return a.extra_seconds < b.extra_seconds;
    if (a.verdict.probability != b.verdict.probability) return a.verdict.probability > b.verdict.probability;
    return a.label < b.label;
  });
  return found;
}

}  // namespace throughcure::plan
