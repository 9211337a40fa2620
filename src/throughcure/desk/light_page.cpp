#include "throughcure/desk/light_page.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "throughcure/desk/local_day.hpp"
#include "throughcure/desk/whole_text.hpp"

namespace throughcure::desk {

namespace {

constexpr std::chrono::hours kDay{24};
constexpr int kPointsBack = 60;
constexpr int kDaysAhead = 365;
constexpr int kStepAhead = 14;

/// What the alarm is about, without when.
std::string_view what_of(const fleet::Alarm& alarm) {
  const bool low = alarm.side == fleet::Side::kLow;
  switch (alarm.rule) {
    case fleet::Rule::kCusumLow:
    case fleet::Rule::kCusumHigh:
    case fleet::Rule::kEwma:
      return low ? "It has been drifting down" : "It has been drifting up";
    case fleet::Rule::kTenOnOneSide:
      return low ? "Its readings have kept below their mean" : "Its readings have kept above their mean";
    case fleet::Rule::kMovingRange:
    case fleet::Rule::kMovingRangeHandbook:
      return "Two readings in a row were far apart";
    default:
      return low ? "A reading was far too low" : "A reading was far too high";
  }
}

const fleet::Series* current_series(const fleet::LightOutput& output, const LightState& state, std::size_t& index) {
  if (!state.last) return nullptr;
  for (index = 0; index < output.split.series.size(); ++index) {
    const fleet::Series& series = output.split.series[index];
    if (std::ranges::find(series.points, state.last->id, &fleet::SeriesPoint::id) != series.points.end()) {
      return &series;
    }
  }
  return nullptr;
}

/// The alarm that stands in the series of the last reading; of several the one whose change began first.
std::optional<std::string> standing_alarm(const LightView& view) {
  std::size_t index = 0;
  if (current_series(view.output, view.state, index) == nullptr) return std::nullopt;
  const fleet::Alarm* first = nullptr;
  for (const fleet::Alarm& alarm : view.output.alarms[index].alarms) {
    if (alarm.stands && (first == nullptr || alarm.changed_at < first->changed_at)) first = &alarm;
  }
  if (first == nullptr) return std::nullopt;
  std::string words = alarm_sentence(*first, view.record.site.record.time_zone);
  if (view.output.needs_bare_reading) words += " Only readings with a barrier on say so: check it without one.";
  return words;
}

/// A check fails under the lower limit, and under a share of its baseline. What that share is of the output itself
/// follows from today's output and where the last readings stand.
double need_of(const LightView& view, const Policy& policy) {
  constexpr std::size_t looked_at = 5;
  const double lower = policy["lower_limit_mw_cm2"];
  std::size_t index = 0;
  const fleet::Series* const series = current_series(view.output, view.state, index);
  if (series == nullptr) return lower;
  double ln_share = 0;
  const std::size_t count = std::min(looked_at, series->points.size());
  for (std::size_t i = series->points.size() - count; i < series->points.size(); ++i) {
    ln_share += std::log(series->points[i].share) / static_cast<double>(count);
  }
  return std::max(lower, policy["action_share"] * view.output.today.p50 / std::exp(ln_share));
}

fleet::FallsBelow falls_below(const LightView& view, base::Instant now) {
  constexpr std::array<double, 3> chances = {0.1, 0.5, 0.9};
  constexpr int most_days = 1095;
  const auto days = fleet::OutputEstimate(view.output.known, now).when_below(now, view.need_mw_cm2, chances, most_days);
  return {.early = days[0], .middle = days[1], .late = days[2]};
}

}  // namespace

std::string_view sentence(fleet::NotCounted why) {
  switch (why) {
    case fleet::NotCounted::kBeforeCleaning:
      return "It was taken before cleaning.";
    case fleet::NotCounted::kTipNotClean:
      return "The tip was not clean.";
    case fleet::NotCounted::kLowBattery:
      return "The battery was low.";
    case fleet::NotCounted::kNothingShown:
      return "The radiometer showed nothing.";
    case fleet::NotCounted::kUnknownPart:
      return "Its tip or radiometer is not this light's.";
  }
  return "";
}

std::string alarm_sentence(const fleet::Alarm& alarm, const std::string& time_zone) {
  return std::string(what_of(alarm)) + " since " + day_text(local_day(alarm.changed_at, time_zone)) + ".";
}

LightView light_view(LightRecord record, const Policy& policy, base::Instant now) {
  LightView view{.record = std::move(record), .state = {}, .output = {}, .alarm = {}};
  view.state = state_of(view.record, policy, now);
  view.output = fleet::light_output(view.record.history, now);
  view.need_mw_cm2 = need_of(view, policy);
  view.output.falls_below = falls_below(view, now);
  view.alarm = standing_alarm(view);
  if (view.alarm && view.state.state == StateWord::kInUse) {
    view.state.state = StateWord::kWatch;
    view.state.why = *view.alarm;
  }
  return view;
}

std::string first_sentence(const LightView& view, base::Instant now) {
  if (view.state.state == StateWord::kWithdrawn || view.state.state == StateWord::kNotAccepted) return view.state.why;
  const std::string today = "It gives about " + whole_text(view.output.today.p50) + " mW/cm2 today, " +
                            whole_text(view.output.today.p10) + " to " + whole_text(view.output.today.p90) + ".";
  const auto& falls = view.output.falls_below;
  std::string ahead;
  if (falls && falls->middle && *falls->middle > now) {
    ahead = " At this pace it falls below what its checks allow about " +
            day_text(local_day(*falls->middle, view.record.site.record.time_zone)) + ".";
  }
  if (!view.state.why.empty()) return view.state.why + " " + today + ahead;
  return today + ahead;
}

std::vector<BandPoint> output_band(const LightView& view, base::Instant now) {
  std::vector<BandPoint> band;
  const auto& readings = view.output.known.readings;
  if (readings.empty()) return band;
  const base::Instant from = std::ranges::min(readings, {}, &fleet::OutputReading::at).at;
  const auto step = std::max<std::chrono::microseconds>(kDay, (now - from) / kPointsBack);
  for (base::Instant at = from; at < now; at += step) {
    band.push_back({at, fleet::OutputEstimate(view.output.known, at).at(at)});
  }
  const fleet::OutputEstimate today(view.output.known, now);
  for (int days = 0; days <= kDaysAhead; days += kStepAhead) {
    const base::Instant at = now + kDay * days;
    band.push_back({at, today.at(at)});
  }
  return band;
}

}  // namespace throughcure::desk
