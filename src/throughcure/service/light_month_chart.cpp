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

class Chart {
 public:
  explicit Chart(const desk::LightMonth& light) : light_(light), view_(light.view) {
    chart_.now_day = day_of(light.until);
    chart_.y_title = "mW/cm² " + desk::as_shown_words({});
  }

  draw::TimeChart make() && {
    put_dots();
    for (const desk::BandPoint& one : light_.band) {
      chart_.band.push_back({day_of(one.at), one.output.p10, one.output.p50, one.output.p90});
    }
    set_span();
    put_levels();
    put_ticks();
    if (const auto then = std::ranges::find(light_.band, light_.until, &desk::BandPoint::at);
        then != light_.band.end()) {
      chart_.now_words = desk::day_text(desk::local_day(light_.until, zone())) + ": about " + whole(then->output.p50) +
                         ", " + whole(then->output.p10) + " to " + whole(then->output.p90);
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
    const fleet::SeriesSplit& split = view_.output.split;
    for (std::size_t i = 0; i < split.series.size(); ++i) {
      const bool earlier = !is_current(split.series[i]);
      for (const fleet::SeriesPoint& point : split.series[i].points) {
        chart_.dots.push_back({day_of(point.at), point.bare_mw_cm2 * view_.scales[i].to_drawn, true, earlier});
      }
    }
    for (const fleet::Uncounted& one : split.uncounted) {
      const fleet::LightReading& reading = view_.record.history.readings[one.reading];
      const double drawn = reading.shown_mw_cm2 * desk::to_drawn(view_.scales, one);
      chart_.dots.push_back({day_of(reading.at), drawn, false, false});
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
    const std::string limit = "limit " + whole(view_.limit.shown_mw_cm2);
    if (view_.output.split.series.empty()) {
      level(view_.limit.shown_mw_cm2, chart_.from_day, chart_.to_day, limit, LevelKind::kLimit);
    }
    if (const auto& claim = view_.record.light.record.claimed_mw_cm2) {
      const double shown = *claim * view_.limit.shown_per_exitance;
      const std::string as = whole(shown) == whole(*claim) ? " " + whole(*claim) : ", here " + whole(shown);
      level(shown, chart_.from_day, chart_.now_day, "claim" + as, LevelKind::kClaim);
    }
    for (std::size_t i = 0; i < view_.output.split.series.size(); ++i) {
      const fleet::Series& series = view_.output.split.series[i];
      const fleet::SeriesAlarms& charts = view_.output.alarms[i];
      const bool current = is_current(series);
      const double to_drawn = view_.scales[i].to_drawn;
      const double scale = series.baseline_mw_cm2 * to_drawn;
      const double begins = day_of(series.points.front().at);
      const double ends = current ? chart_.now_day : day_of(series.points.back().at);
      // Each has the limit of its own baseline; before the first one nothing was judged.
      level(view_.scales[i].limit_mw_cm2 * to_drawn, i == 0 ? chart_.from_day : begins, current ? chart_.to_day : ends,
            current ? limit : "", LevelKind::kLimit);
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
