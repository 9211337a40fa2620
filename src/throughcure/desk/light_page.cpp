#include "throughcure/desk/light_page.hpp"

#include <algorithm>
#include <array>

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

/// Nothing where no reading counts: what its maker claims foretells nothing.
std::optional<fleet::FallsBelow> falls_below(const LightView& view, base::Instant now) {
  if (view.output.known.readings.empty()) return std::nullopt;
  constexpr std::array<double, 3> chances = {0.1, 0.5, 0.9};
  constexpr int most_days = 1095;
  const auto days = fleet::OutputEstimate(view.output.known, now)
                        .when_below(now, view.limit.shown_mw_cm2, chances, most_days, view.output.as_shown);
  return fleet::FallsBelow{.early = days[0], .middle = days[1], .late = days[2]};
}

/// Evenly, and where the estimate jumps on both sides of it: at what was done to the light, after which nothing is
/// known as well as before until the next reading, and at that reading. Between two of them it runs smoothly.
std::vector<base::Instant> instants_of_band(const fleet::OutputKnown& known, base::Instant from, base::Instant now) {
  constexpr std::chrono::microseconds just{1};
  std::vector<base::Instant> readings;
  readings.reserve(known.readings.size());
  for (const fleet::OutputReading& reading : known.readings) readings.push_back(reading.at);
  std::ranges::sort(readings);
  std::vector<base::Instant> instants;
  const auto step = std::max<std::chrono::microseconds>(kDay, (now - from) / kPointsBack);
  for (base::Instant at = from; at < now; at += step) instants.push_back(at);
  const auto on_both_sides = [&](base::Instant at) {
    if (at <= from || at >= now) return;
    instants.push_back({at.us - just.count()});
    instants.push_back(at);
  };
  for (const fleet::OutputStep& done : known.steps) {
    on_both_sides(done.at);
    const auto next = std::ranges::lower_bound(readings, done.at);
    if (next != readings.end()) on_both_sides(*next);
  }
  std::ranges::sort(instants);
  const auto twice = std::ranges::unique(instants);
  instants.erase(twice.begin(), twice.end());
  return instants;
}

}  // namespace

std::string_view sentence(fleet::NotCounted why) {
  switch (why) {
    case fleet::NotCounted::kBeforeCleaning:
      return "It was taken before cleaning.";
    case fleet::NotCounted::kTipNotClean:
      return "The tip was not clean.";
    case fleet::NotCounted::kBarrierNotSmooth:
      return "The barrier had a seam or a wrinkle over the tip.";
    case fleet::NotCounted::kLowBattery:
      return "The battery was low.";
    case fleet::NotCounted::kNothingShown:
      return "The radiometer showed nothing.";
    case fleet::NotCounted::kUnknownPart:
      return "Its tip or radiometer is not this light's.";
  }
  return "";
}

std::optional<fleet::Alarm> alarm_that_stands(const fleet::LightOutput& output, const Standing& standing) {
  if (!standing.last) return std::nullopt;
  for (std::size_t index = 0; index < output.split.series.size(); ++index) {
    const auto& points = output.split.series[index].points;
    if (std::ranges::find(points.rbegin(), points.rend(), standing.last->id, &fleet::SeriesPoint::id) ==
        points.rend()) {
      continue;
    }
    std::optional<fleet::Alarm> first;
    for (const fleet::Alarm& alarm : output.alarms[index].alarms) {
      if (alarm.stands && (!first || alarm.changed_at < first->changed_at)) first = alarm;
    }
    return first;
  }
  return std::nullopt;
}

std::optional<std::string> standing_alarm(const std::optional<fleet::Alarm>& alarm, const fleet::LightToday& output,
                                          const LightRecord& record) {
  if (!alarm) return std::nullopt;
  std::string words = alarm_sentence(*alarm, record.site.record.time_zone);
  if (output.needs_bare_reading) words += " Only readings with a barrier on say so: check it without one.";
  return words;
}

void watch_where_alarmed(LightState& state, const std::optional<std::string>& alarm, const fleet::LightToday& output) {
  if (state.state != StateWord::kInUse) return;
  std::string why = alarm.value_or("");
  if (output.sags && output.sag) {
    why += (why.empty() ? "" : " ") + std::string("It gives ") + whole_text(100 * output.sag->middle) +
           " % less on a low battery.";
  }
  if (why.empty()) return;
  state.state = StateWord::kWatch;
  state.why = why;
}

std::string alarm_sentence(const fleet::Alarm& alarm, const std::string& time_zone) {
  return std::string(what_of(alarm)) + " since " + day_text(local_day(alarm.changed_at, time_zone)) + ".";
}

LightView light_view(LightRecord record, const Policy& policy, base::Instant now) {
  LightView view{.record = std::move(record),
                 .state = {},
                 .output = {},
                 .alarm = {},
                 .limit = {},
                 .limit_why = {},
                 .shown_by = {},
                 .scales = {}};
  const Standing standing = standing_of(view.record, judged(view.record, policy, now), now);
  view.state = state_of(view.record, standing, policy, now);
  view.output = fleet::light_output(view.record.history, now);
  view.limit = limit_of(standing, policy, view.output);
  view.limit_why = limit_why(standing, policy);
  view.shown_by = shown_by(view.record, standing);
  view.scales = series_scales(view.output, policy, standing.last ? std::optional(standing.last->id) : std::nullopt);
  view.output.falls_below = falls_below(view, now);
  view.alarm = standing_alarm(alarm_that_stands(view.output, standing), view.output, view.record);
  watch_where_alarmed(view.state, view.alarm, view.output);
  return view;
}

std::string first_sentence(const LightView& view, base::Instant now) {
  if (view.state.state == StateWord::kWithdrawn || view.state.state == StateWord::kNotAccepted) return view.state.why;
  const std::string today = "It gives about " + whole_text(view.output.today.p50) +
                            " mW/cm2 of radiant exitance today, " + whole_text(view.output.today.p10) + " to " +
                            whole_text(view.output.today.p90) + ".";
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
  const std::vector<base::Instant> instants = instants_of_band(view.output.known, from, now);
  const std::vector<fleet::ShownFrom> drawn = as_drawn(view.output, view.scales);
  const auto spreads = fleet::estimates_then(view.output.known, instants, {}, drawn);
  for (std::size_t i = 0; i < instants.size(); ++i) band.push_back({instants[i], spreads[i]});
  const fleet::OutputEstimate today(view.output.known, now);
  for (int days = 0; days <= kDaysAhead; days += kStepAhead) {
    const base::Instant at = now + kDay * days;
    band.push_back({at, today.at(at, fleet::as_shown_at(drawn, at))});
  }
  return band;
}

}  // namespace throughcure::desk
