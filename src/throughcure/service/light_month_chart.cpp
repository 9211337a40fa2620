#include "throughcure/service/light_month_chart.hpp"

#include <algorithm>
#include <cmath>

#include "throughcure/desk/local_month.hpp"

namespace throughcure::service {

namespace {

constexpr double kDay_us = 86'400e6;
constexpr double kMostPast_days = 731;
constexpr double kLeastPast_days = 30;
constexpr double kLeastAhead_days = 15;

double day_of(base::Instant at) { return static_cast<double>(at.us) / kDay_us; }
std::string whole(double number) { return std::to_string(std::llround(number)); }

/// What one share of a baseline is in the readings' own scale: the barrier's and the radiometer's factors are in it.
double per_share(const fleet::Series& series) {
  std::vector<double> ratios;
  for (const fleet::SeriesPoint& point : series.points) {
    if (point.share > 0) ratios.push_back(point.bare_mw_cm2 / point.share);
  }
  if (ratios.empty()) return series.baseline_mw_cm2;
  std::ranges::sort(ratios);
  return ratios[ratios.size() / 2];
}

class Chart {
 public:
  explicit Chart(const desk::LightMonth& light) : light_(light), view_(light.view) {
    chart_.now_day = day_of(light.until);
    chart_.y_title = "radiometer readings and estimate, mW/cm²";
  }

  draw::TimeChart make() && {
    put_dots();
    for (const desk::BandPoint& one : light_.band) {
      chart_.band.push_back({day_of(one.at), one.output.p10, one.output.p50, one.output.p90});
    }
    set_span();
    put_levels();
    put_ticks();
    if (!view_.output.split.series.empty()) {
      const fleet::OutputSpread& today = view_.output.today;
      chart_.now_words = desk::day_text(desk::local_day(light_.until, zone())) + ": about " + whole(today.p50) + ", " +
                         whole(today.p10) + " to " + whole(today.p90);
    }
    return std::move(chart_);
  }

 private:
  [[nodiscard]] const std::string& zone() const { return view_.record.site.record.time_zone; }
  [[nodiscard]] bool is_current(const fleet::Series& series) const {
    return view_.state.last &&
           std::ranges::find(series.points, view_.state.last->id, &fleet::SeriesPoint::id) != series.points.end();
  }

  void put_dots() {
    for (const fleet::Series& series : view_.output.split.series) {
      for (const fleet::SeriesPoint& point : series.points) {
        chart_.dots.push_back({day_of(point.at), point.bare_mw_cm2, true, !is_current(series)});
      }
    }
    for (const fleet::Uncounted& one : view_.output.split.uncounted) {
      const fleet::LightReading& reading = view_.record.history.readings[one.reading];
      chart_.dots.push_back({day_of(reading.at), reading.shown_mw_cm2, false, false});
    }
  }

  void set_span() {
    double first = chart_.now_day - kLeastPast_days;
    for (const draw::ChartDot& dot : chart_.dots) first = std::min(first, dot.at_day);
    chart_.from_day = std::max(first, chart_.now_day - kMostPast_days);
    chart_.to_day = chart_.now_day + kLeastAhead_days;
    if (!chart_.band.empty()) chart_.to_day = std::max(chart_.to_day, chart_.band.back().at_day);
  }

  void put_levels() {
    using draw::LevelKind;
    const auto level = [&](double value, double from, double to, std::string words, LevelKind kind) {
      chart_.levels.push_back({value, std::max(from, chart_.from_day), to, std::move(words), kind});
    };
    level(view_.need_mw_cm2, chart_.from_day, chart_.to_day, "limit " + whole(view_.need_mw_cm2), LevelKind::kLimit);
    if (const auto& claim = view_.record.light.record.claimed_mw_cm2) {
      level(*claim, chart_.from_day, chart_.now_day, "claim " + whole(*claim), LevelKind::kClaim);
    }
    for (std::size_t i = 0; i < view_.output.split.series.size(); ++i) {
      const fleet::Series& series = view_.output.split.series[i];
      const fleet::SeriesAlarms& charts = view_.output.alarms[i];
      const bool current = is_current(series);
      const double scale = per_share(series);
      const double begins = day_of(series.points.front().at);
      const double ends = current ? chart_.now_day : day_of(series.points.back().at);
      level(scale, begins, ends, current ? "baseline " + whole(series.baseline_mw_cm2) : "", LevelKind::kBaseline);
      if (charts.learned_from < 2) continue;
      const double wide = fleet::AlarmSettings{}.individuals.L * charts.sigma;
      level(scale * std::exp(charts.target - wide), begins, ends, current ? "chart, lower" : "", LevelKind::kControl);
      level(scale * std::exp(charts.target + wide), begins, ends, current ? "chart, upper" : "", LevelKind::kControl);
    }
  }

  void put_ticks() {
    const auto instant = [](double day) { return base::Instant{std::llround(day * kDay_us)}; };
    bool is_first = true;
    for (desk::LocalMonth month = desk::after(desk::month_of(instant(chart_.from_day), zone()));;
         month = desk::after(month)) {
      const double at = day_of(desk::begin_of(month, zone()));
      if (at > chart_.to_day) break;
      const std::string name = desk::month_text(month);
      chart_.months.push_back(
          {at, name.substr(0, 3) + (is_first || month.month == 1 ? " " + std::to_string(month.year) : "")});
      is_first = false;
    }
    for (const auto& event : view_.record.servicing) {
      std::string words(base::Words<fleet::Deed>::words.at(static_cast<std::size_t>(event.record.what)));
      std::ranges::replace(words, '_', ' ');
      chart_.events.push_back({day_of(event.record.at), words});
    }
  }

  const desk::LightMonth& light_;
  const desk::LightView& view_;
  draw::TimeChart chart_;
};

}  // namespace

draw::TimeChart light_month_chart(const desk::LightMonth& light) { return Chart(light).make(); }

}  // namespace throughcure::service
