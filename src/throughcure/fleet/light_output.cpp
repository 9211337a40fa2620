#include "throughcure/fleet/light_output.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <tuple>

#include "throughcure/fleet/normal.hpp"

namespace throughcure::fleet {

namespace {

constexpr double kUsPerDay = 86'400e6;
constexpr double kDaysPerYear = 365.25;

double step_of(Deed what, const StepSettings& steps) {
  switch (what) {
    case Deed::kCleaned:
      return steps.cleaned;
    case Deed::kTipReplaced:
      return steps.tip_replaced;
    case Deed::kBatteryReplaced:
      return steps.battery_replaced;
    case Deed::kRepaired:
      return steps.repaired;
    case Deed::kDropped:
      return steps.dropped;
    case Deed::kLent:
    case Deed::kReturned:
      return 0;
    case Deed::kOther:
      break;
  }
  return steps.other;
}

/// One kind of readings: those of a series with one barrier, or without, while the radiometer was vouched for alike.
struct Kind {
  std::size_t series = 0;
  BarrierFactor barrier{};
  bool barrier_on = false;
  double radiometer_sd = 0;
  double ln_mean = 0;  // what it shows more than it should
};

/// Numbers the kinds of readings and says what their errors share.
class Kinds {
 public:
  Kinds(const LightHistory& history, const SeriesSplit& split, const LightOutputSettings& settings)
      : history_(history), split_(split), settings_(settings) {}

  std::size_t of(std::size_t series, const LightReading& reading) {
    const BarrierFactor barrier = barrier_of(reading, settings_.series);
    const HistoryRadiometer& radiometer = history_.radiometers[split_.series[series].radiometer];
    const double radiometer_sd = radiometer_error_sd(radiometer, reading.at, settings_.factors);
    for (std::size_t k = 0; k < kinds_.size(); ++k) {
      const Kind& kind = kinds_[k];
      if (kind.series == series && kind.barrier_on == reading.barrier_on && kind.barrier.passes == barrier.passes &&
          kind.barrier.sd == barrier.sd && kind.radiometer_sd == radiometer_sd) {
        return k;
      }
    }
    add({.series = series, .barrier = barrier, .barrier_on = reading.barrier_on, .radiometer_sd = radiometer_sd});
    return kinds_.size() - 1;
  }

  [[nodiscard]] double ln_mean(std::size_t kind) const { return kinds_[kind].ln_mean; }
  [[nodiscard]] const std::vector<std::vector<ErrorPart>>& errors() const { return errors_; }

 private:
  void add(Kind kind) {
    const Series& series = split_.series[kind.series];
    const HistoryRadiometer& radiometer = history_.radiometers[series.radiometer];
    const LnFactor spectrum = spectral_factor(radiometer, history_.emits_violet, settings_.factors);
    const LnFactor aperture = aperture_factor(radiometer, history_.tips[series.tip].diameter_mm, settings_.factors);
    kind.ln_mean = spectrum.mean + aperture.mean;
    // Parts: each radiometer with its spectrum, each series' beam on it, each other mode, each barrier; and what a
    // radiometer may be off by besides while nobody vouches for it.
    const double least = least_radiometer_error_sd(radiometer, settings_.factors);
    std::vector<ErrorPart> error{{.part = part(0, series.radiometer), .sd = std::hypot(least, spectrum.sd)},
                                 {.part = part(1, kind.series), .sd = aperture.sd}};
    if (kind.radiometer_sd > least) {
      error.push_back({.part = unvouched_part(series.radiometer, kind.radiometer_sd),
                       .sd = std::sqrt(kind.radiometer_sd * kind.radiometer_sd - least * least)});
    }
    if (series.mode != 0) error.push_back({.part = part(2, series.mode), .sd = settings_.other_mode_sd});
    if (kind.barrier_on) {
      kind.ln_mean += std::log(kind.barrier.passes);
      error.push_back({.part = barrier_part(kind.barrier), .sd = kind.barrier.sd / kind.barrier.passes});
    }
    kinds_.push_back(kind);
    errors_.push_back(std::move(error));
  }

  /// A number for the i-th of a class of causes, the same whenever it is asked for.
  std::size_t part(int cause, std::size_t i) {
    const auto it = std::ranges::find(parts_, std::pair(cause, i));
    if (it != parts_.end()) return static_cast<std::size_t>(it - parts_.begin());
    parts_.emplace_back(cause, i);
    return parts_.size() - 1;
  }

  std::size_t unvouched_part(std::size_t radiometer, double sd) {
    const std::pair state(radiometer, sd);
    const auto it = std::ranges::find(unvouched_, state);
    const auto i = static_cast<std::size_t>(it - unvouched_.begin());
    if (it == unvouched_.end()) unvouched_.push_back(state);
    return part(4, i);
  }

  std::size_t barrier_part(const BarrierFactor& barrier) {
    const auto same = [&](const BarrierFactor& b) { return b.passes == barrier.passes && b.sd == barrier.sd; };
    const auto it = std::ranges::find_if(barriers_, same);
    const auto i = static_cast<std::size_t>(it - barriers_.begin());
    if (it == barriers_.end()) barriers_.push_back(barrier);
    return part(3, i);
  }

  const LightHistory& history_;
  const SeriesSplit& split_;
  const LightOutputSettings& settings_;
  std::vector<Kind> kinds_;
  std::vector<std::vector<ErrorPart>> errors_;
  std::vector<std::pair<int, std::size_t>> parts_;
  std::vector<BarrierFactor> barriers_;
  std::vector<std::pair<std::size_t, double>> unvouched_;
};

/// Of the series whose last reading is the latest, of two at the same instant the one with the greater number.
std::optional<std::size_t> latest_series(const SeriesSplit& split) {
  if (split.series.empty()) return std::nullopt;
  const auto last = [](const Series& series) {
    const SeriesPoint& point = series.points.back();
    return std::pair(point.at, point.id);
  };
  return static_cast<std::size_t>(std::ranges::max_element(split.series, {}, last) - split.series.begin());
}

/// By the kinds of its readings without a barrier; where each was taken with one, of all, the barrier's loss taken out
/// as it is for its points. `known` as output_known makes it: the readings series by series.
std::vector<std::vector<ShownFrom>> as_shown_in(const SeriesSplit& split, const OutputKnown& known) {
  std::vector<std::vector<ShownFrom>> found;
  found.reserve(split.series.size());
  std::size_t at = 0;
  for (const Series& series : split.series) {
    std::vector<ShownFrom>& shown = found.emplace_back();
    const bool has_bare = std::ranges::find(series.points, false, &SeriesPoint::barrier_on) != series.points.end();
    for (const SeriesPoint& point : series.points) {
      const OutputReading& reading = known.readings[at++];
      if (has_bare && point.barrier_on) continue;
      if (!shown.empty() && shown.back().as.kind == reading.radiometer) continue;
      const double ln_passes = std::log(reading.shown_mw_cm2 / point.bare_mw_cm2);
      shown.push_back(
          {.from = point.at, .as = {.kind = reading.radiometer, .ln_factor = reading.ln_factor - ln_passes}});
    }
  }
  return found;
}

double shown_per_exitance(const AsShown& as, const OutputEstimate& estimate) {
  return std::exp(estimate.ln_error(as.kind) + as.ln_factor);
}

Interval interval(double mean, double sd) {
  const double to_10 = normal_quantile(0.9) * sd;
  return {.p10 = mean - to_10, .p50 = mean, .p90 = mean + to_10};
}

FallsBelow falls_below_from(const OutputEstimate& estimate, base::Instant now, double need_mw_cm2, int forecast_days,
                            const std::optional<AsShown>& as) {
  const auto days = estimate.when_below(now, need_mw_cm2, std::array{0.1, 0.5, 0.9}, forecast_days, as);
  return {.early = days[0], .middle = days[1], .late = days[2]};
}

/// What depends on time alone, once all that was recorded is known.
void look(LightToday& light, const OutputEstimate& estimate, base::Instant now, std::optional<double> need_mw_cm2,
          std::optional<double> claimed_mw_cm2, std::optional<base::Instant> last_reading, int forecast_days) {
  light.today = estimate.at(now);
  if (claimed_mw_cm2) {
    const double claimed = *claimed_mw_cm2;
    light.share_of_claim =
        Interval{.p10 = light.today.p10 / claimed, .p50 = light.today.p50 / claimed, .p90 = light.today.p90 / claimed};
  }
  const OutputTrend trend = estimate.trend(now);
  const Interval slope = interval(trend.per_day * kDaysPerYear, trend.sd_per_day * kDaysPerYear);
  light.change_per_year = {.p10 = std::expm1(slope.p10), .p50 = std::expm1(slope.p50), .p90 = std::expm1(slope.p90)};
  if (need_mw_cm2 && last_reading) {
    light.falls_below = falls_below_from(estimate, now, *need_mw_cm2, forecast_days, light.as_shown);
  }
  if (last_reading) light.days_since_reading = static_cast<double>(now.us - last_reading->us) / kUsPerDay;
}

std::optional<base::Instant> last_reading_of(const SeriesSplit& split) {
  const auto latest = latest_series(split);
  if (!latest) return std::nullopt;
  return split.series[*latest].points.back().at;
}

}  // namespace

std::optional<Interval> share_of_claim_by_readings(const LightHistory& history, base::Instant until,
                                                   const LightOutputSettings& settings) {
  constexpr double not_believed = 100;  // sd on the logarithm: as good as nothing known
  const SeriesSplit split = split_series(history, until, settings.series);
  const auto last = last_reading_of(split);
  if (!history.claimed_mw_cm2 || !last) return std::nullopt;
  OutputKnown known = output_known(history, split, {}, settings);
  known.claim_sd = not_believed;
  const OutputSpread found = OutputEstimate(known, *last, settings.model).at(*last);
  const double claimed = *history.claimed_mw_cm2;
  return Interval{.p10 = found.p10 / claimed, .p50 = found.p50 / claimed, .p90 = found.p90 / claimed};
}

LightOutput charted_output(const LightHistory& history, base::Instant now, std::span<const ChartsStart> starts,
                           const LightOutputSettings& settings) {
  LightOutput output;
  output.split = split_series(history, now, settings.series);
  output.alarms.reserve(output.split.series.size());
  for (std::size_t i = 0; i < output.split.series.size(); ++i) {
    const ChartsStart start = i < starts.size() ? starts[i] : ChartsStart{};
    output.alarms.push_back(run_alarms_from(start, output.split.series[i], history.services, settings.alarms));
  }
  if (const auto latest = latest_series(output.split)) {
    bool bare = false;
    for (const Alarm& alarm : output.alarms[*latest].alarms) {
      if (!alarm.stands) continue;
      output.alarm_stands = true;
      bare = bare || !alarm.needs_bare_reading;
    }
    output.needs_bare_reading = output.alarm_stands && !bare;
  }
  output.sag = battery_sag(history, now, settings.pairs);
  output.sags = output.sag && output.sag->middle > settings.sag_flag;
  return output;
}

LightOutput recorded_output(const LightHistory& history, base::Instant now, const LightOutputSettings& settings) {
  LightOutput output = charted_output(history, now, {}, settings);
  output.known = output_known(history, output.split, output.alarms, settings);
  output.as_shown_in = as_shown_in(output.split, output.known);
  if (const auto latest = latest_series(output.split)) output.as_shown = output.as_shown_in[*latest].back().as;
  output.cleaning = cleaning_gain(history, now, settings.pairs);
  return output;
}

OutputKnown output_known(const LightHistory& history, const SeriesSplit& split, const std::vector<SeriesAlarms>& alarms,
                         const LightOutputSettings& settings) {
  OutputKnown known{.accepted_at = history.accepted_at,
                    .claimed_mw_cm2 = history.claimed_mw_cm2.value_or(settings.unclaimed_mw_cm2)};
  if (!history.claimed_mw_cm2) {
    known.claim_sd = settings.unclaimed_sd;
  } else if (history.claim == ClaimKind::kCertificate) {
    known.claim_sd = settings.certificate_claim_sd;
  }
  Kinds kinds(history, split, settings);
  struct Placed {
    base::Instant at;
    std::size_t tip;
  };
  std::vector<Placed> tips;
  for (std::size_t s = 0; s < split.series.size(); ++s) {
    for (const SeriesPoint& point : split.series[s].points) {
      const LightReading& reading = history.readings[point.reading];
      const std::size_t kind = kinds.of(s, reading);
      known.readings.push_back({.at = point.at,
                                .radiometer = kind,
                                .shown_mw_cm2 = reading.shown_mw_cm2,
                                .ln_factor = kinds.ln_mean(kind),
                                .ln_factor_sd = second_sd(reading.second_of_press, settings.factors)});
      known.accepted_at = std::min(known.accepted_at, point.at);
    }
    tips.push_back({.at = split.series[s].points.front().at, .tip = split.series[s].tip});
  }
  known.errors = kinds.errors();
  for (const ServiceEvent& service : history.services) {
    const double sd = step_of(service.what, settings.steps);
    if (sd > 0) known.steps.push_back({.at = service.at, .sd = sd});
  }
  // Another tip, put on without a word.
  if (std::ranges::any_of(tips, [&](const Placed& t) { return t.tip != tips.front().tip; })) {
    std::vector<Placed> all;
    for (const Series& series : split.series) {
      for (const SeriesPoint& point : series.points) all.push_back({.at = point.at, .tip = series.tip});
    }
    std::ranges::sort(all, {}, [](const Placed& p) { return std::pair(p.at.us, p.tip); });
    for (std::size_t i = 1; i < all.size(); ++i) {
      if (all[i].tip != all[i - 1].tip) known.steps.push_back({.at = all[i].at, .sd = settings.steps.tip_replaced});
    }
  }
  std::vector<base::Instant> changes;
  for (const SeriesAlarms& found : alarms) {
    std::size_t before = std::numeric_limits<std::size_t>::max();
    for (const Alarm& alarm : found.alarms) {
      // Alarms raised together are of one change; the most of them say when.
      if (alarm.at == before) continue;
      before = alarm.at;
      changes.push_back(alarm.changed_at);
    }
  }
  std::ranges::sort(changes);
  const auto repeated = std::ranges::unique(changes);
  changes.erase(repeated.begin(), repeated.end());
  for (const base::Instant at : changes) known.steps.push_back({.at = at, .sd = settings.steps.alarm});
  return known;
}

LightOutput light_output(const LightHistory& history, base::Instant now, std::optional<double> need_mw_cm2,
                         const LightOutputSettings& settings) {
  LightOutput output = recorded_output(history, now, settings);
  const OutputEstimate estimate(output.known, now, settings.model);
  output.shown_per_exitance_in.reserve(output.as_shown_in.size());
  for (const std::vector<ShownFrom>& shown : output.as_shown_in) {
    output.shown_per_exitance_in.push_back(shown_per_exitance(shown.back().as, estimate));
  }
  if (output.as_shown) output.shown_per_exitance = shown_per_exitance(*output.as_shown, estimate);
  look(output, estimate, now, need_mw_cm2, history.claimed_mw_cm2, last_reading_of(output.split),
       settings.forecast_days);
  return output;
}

FollowedLight::FollowedLight(const LightHistory& history, base::Instant until, const LightOutputSettings& settings)
    : FollowedLight(history.claimed_mw_cm2, recorded_output(history, until, settings), until, settings) {}

FollowedLight::FollowedLight(std::optional<double> claimed_mw_cm2, const LightOutput& output, base::Instant until,
                             const LightOutputSettings& settings)
    : estimate_(output.known, until, settings.model),
      at_until_(static_cast<const LightToday&>(output)),
      last_reading_(last_reading_of(output.split)),
      claimed_mw_cm2_(claimed_mw_cm2),
      until_(until),
      forecast_days_(settings.forecast_days) {
  if (output.as_shown) at_until_.shown_per_exitance = shown_per_exitance(*output.as_shown, estimate_);
}

LightToday FollowedLight::at(base::Instant now, std::optional<double> need_mw_cm2) const {
  const base::Instant then = std::max(now, until_);
  LightToday light = at_until_;
  look(light, estimate_.later(then), then, need_mw_cm2, claimed_mw_cm2_, last_reading_, forecast_days_);
  return light;
}

std::optional<FallsBelow> FollowedLight::falls_below(base::Instant now, double need_mw_cm2) const {
  if (!last_reading_) return std::nullopt;
  const base::Instant then = std::max(now, until_);
  return falls_below_from(estimate_.later(then), then, need_mw_cm2, forecast_days_, at_until_.as_shown);
}

}  // namespace throughcure::fleet
