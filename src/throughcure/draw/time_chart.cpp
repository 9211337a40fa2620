#include "throughcure/draw/time_chart.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "throughcure/draw/decimal.hpp"
#include "throughcure/draw/round_levels.hpp"
#include "throughcure/draw/type_setter.hpp"

namespace throughcure::draw {

namespace {

constexpr double kSize_mm = 2.4;
constexpr double kWordsRoom_mm = 30;  // right of the plot, for the names of levels
constexpr double kLeft_mm = 11;
constexpr double kTop_mm = 6;
constexpr double kFoot_mm = 5;  // below the axis
constexpr double kFootWithEvents_mm = 9;
constexpr double kGap_mm = 3.1;  // between the base lines of two names
constexpr double kHatch_mm = 1.3;
constexpr Colour kBandGrey{222, 222, 222};
constexpr Colour kHatchGrey{170, 170, 170};
constexpr Colour kAxis{90, 90, 90};

/// Moves places apart until each has `gap` to the next, as little as can be, inside [top, bottom].
std::vector<double> apart(const std::vector<double>& at, double gap, double top, double bottom) {
  std::vector<std::size_t> order(at.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::ranges::sort(order, {}, [&](std::size_t i) { return std::pair(at[i], i); });
  std::vector<double> placed = at;
  double least = top;
  for (const std::size_t i : order) {
    placed[i] = std::max(placed[i], least);
    least = placed[i] + gap;
  }
  double most = bottom;
  for (auto i = order.rbegin(); i != order.rend(); ++i) {
    placed[*i] = std::min(placed[*i], most);
    most = placed[*i] - gap;
  }
  return placed;
}

class Chart {
 public:
  Chart(const TimeChart& chart, double width_mm, double height_mm)
      : chart_(chart),
        picture_{.width_mm = width_mm, .height_mm = height_mm, .paper = kWhite, .marks = {}, .description = {}},
        right_(width_mm - kWordsRoom_mm),
        floor_(height_mm - (chart.events.empty() ? kFoot_mm : kFootWithEvents_mm)) {
    double most = 1;
    for (const ChartDot& dot : chart.dots) most = std::max(most, dot.value);
    for (const ChartBand& one : chart.band) most = std::max(most, one.p90);
    for (const ChartLevel& level : chart.levels) most = std::max(most, level.value);
    most_ = 1.05 * most;
  }

  Picture draw() && {
    put_band();
    put_axes();
    put_levels();
    put_now();
    put_events();
    put_dots();
    return std::move(picture_);
  }

 private:
  [[nodiscard]] double x(double day) const {
    const double share = (day - chart_.from_day) / (chart_.to_day - chart_.from_day);
    return kLeft_mm + std::clamp(share, 0.0, 1.0) * (right_ - kLeft_mm);
  }
  [[nodiscard]] double y(double value) const {
    return floor_ - std::clamp(value / most_, 0.0, 1.0) * (floor_ - kTop_mm);
  }
  [[nodiscard]] bool shows(double day) const { return day >= chart_.from_day && day <= chart_.to_day; }

  void stroke(Line line, double width, Colour colour, std::vector<double> dashes = {}) {
    picture_.marks.emplace_back(
        Stroke{.line = std::move(line), .width_mm = width, .colour = colour, .dashes_mm = std::move(dashes)});
  }
  void write(const std::string& words, Place at, Align align, Colour colour = kInk) {
    if (words.empty()) return;
    picture_.marks.emplace_back(Text{.at = at, .words = words, .size_mm = kSize_mm, .colour = colour, .align = align});
  }

  void put_band() {
    std::vector<ChartBand> past;
    std::vector<ChartBand> coming;
    for (const ChartBand& one : chart_.band) {
      if (!shows(one.at_day)) continue;
      (one.at_day <= chart_.now_day ? past : coming).push_back(one);
    }
    if (!past.empty() && !coming.empty()) coming.insert(coming.begin(), past.back());
    put_ribbon(past, false);
    put_ribbon(coming, true);
  }

  void put_ribbon(const std::vector<ChartBand>& band, bool is_forecast) {
    if (band.size() < 2) return;
    Line outline;
    Line middle;
    for (const ChartBand& one : band) {
      outline.push_back({x(one.at_day), y(one.p90)});
      middle.push_back({x(one.at_day), y(one.p50)});
    }
    for (auto one = band.rbegin(); one != band.rend(); ++one) outline.push_back({x(one->at_day), y(one->p10)});
    if (is_forecast) {
      hatch(band);
      const auto half = static_cast<std::ptrdiff_t>(band.size());
      stroke({outline.begin(), outline.begin() + half}, 0.1, kHatchGrey);
      stroke({outline.begin() + half, outline.end()}, 0.1, kHatchGrey);
    } else {
      picture_.marks.emplace_back(Polygon{{outline}, kBandGrey});
    }
    stroke(std::move(middle), 0.35, kInk, is_forecast ? std::vector{1.6, 1.0} : std::vector<double>{});
  }

  /// Upright lines through the band.
  void hatch(const std::vector<ChartBand>& band) {
    const double from = x(band.front().at_day);
    const double to = x(band.back().at_day);
    std::size_t at = 0;
    for (int i = 1; from + i * kHatch_mm < to; ++i) {
      const double here = from + i * kHatch_mm;
      while (at + 2 < band.size() && x(band[at + 1].at_day) < here) ++at;
      const double begin = x(band[at].at_day);
      const double share = (here - begin) / std::max(1e-9, x(band[at + 1].at_day) - begin);
      const auto between = [&](double a, double b) { return y(a + share * (b - a)); };
      stroke({{here, between(band[at].p10, band[at + 1].p10)}, {here, between(band[at].p90, band[at + 1].p90)}}, 0.1,
             kHatchGrey);
    }
  }

  void put_axes() {
    stroke({{kLeft_mm, kTop_mm}, {kLeft_mm, floor_}, {right_, floor_}}, 0.2, kAxis);
    write(chart_.y_title, {0, kTop_mm - 2.5}, Align::kStart, kFaintInk);
    write("0", {kLeft_mm - 1.2, floor_ + 0.9}, Align::kEnd, kFaintInk);
    for (const double level : round_levels(0, most_, 6)) {
      stroke({{kLeft_mm - 0.8, y(level)}, {kLeft_mm, y(level)}}, 0.2, kAxis);
      write(decimal(level, 0), {kLeft_mm - 1.2, y(level) + 0.9}, Align::kEnd, kFaintInk);
    }
    put_months();
  }

  /// Named are the first and every so many after it: as many as have room, evenly.
  void put_months() {
    double widest = 0;
    for (const ChartTick& tick : chart_.months) widest = std::max(widest, type_.width_mm(tick.words, kSize_mm));
    const double days = chart_.to_day - chart_.from_day;
    const double apart_mm =
        chart_.months.size() < 2 ? 1 : (chart_.months[1].at_day - chart_.months[0].at_day) * (right_ - kLeft_mm) / days;
    const auto every = static_cast<std::size_t>(std::ceil((widest + 2) / std::max(0.1, 0.9 * apart_mm)));
    for (std::size_t i = 0; i < chart_.months.size(); ++i) {
      const ChartTick& tick = chart_.months[i];
      if (!shows(tick.at_day)) continue;
      const double here = x(tick.at_day);
      stroke({{here, floor_}, {here, floor_ + 0.8}}, 0.2, kAxis);
      const double half = type_.width_mm(tick.words, kSize_mm) / 2;
      if (i % every != 0 || here - half < 0 || here + half > picture_.width_mm) continue;
      write(tick.words, {here, floor_ + 4}, Align::kMiddle, kFaintInk);
    }
  }

  void put_levels() {
    std::vector<double> wanted;
    std::vector<const ChartLevel*> named;
    for (const ChartLevel& level : chart_.levels) {
      if (level.to_day < chart_.from_day || level.from_day > chart_.to_day) continue;
      const Line line = {{x(level.from_day), y(level.value)}, {x(level.to_day), y(level.value)}};
      switch (level.kind) {
        case LevelKind::kLimit:
          stroke(line, 0.5, kInk);
          break;
        case LevelKind::kBaseline:
          stroke(line, 0.2, kInk);
          break;
        case LevelKind::kControl:
          stroke(line, 0.2, kFaintInk, {0.5, 0.9});
          break;
        case LevelKind::kClaim:
          stroke(line, 0.2, kFaintInk, {2.5, 1.2});
          break;
      }
      if (level.words.empty()) continue;
      named.push_back(&level);
      wanted.push_back(y(level.value) + 0.9);
    }
    const std::vector<double> placed = apart(wanted, kGap_mm, kTop_mm + 1, floor_ + 0.9);
    for (std::size_t i = 0; i < named.size(); ++i) {
      // From the line's end, over the forecast where it ends at now, to its name.
      stroke({{x(named[i]->to_day), y(named[i]->value)}, {right_, y(named[i]->value)}, {right_ + 1.6, placed[i] - 0.9}},
             0.08, kHatchGrey);
      write(type_.lines(named[i]->words, kSize_mm, kWordsRoom_mm - 2.2, 1).front(), {right_ + 2.2, placed[i]},
            Align::kStart);
    }
  }

  void put_now() {
    if (!shows(chart_.now_day)) return;
    const double here = x(chart_.now_day);
    stroke({{here, kTop_mm}, {here, floor_}}, 0.15, kInk, {0.8, 0.8});
    const double wide = type_.width_mm(chart_.now_words, kSize_mm);
    const double title = type_.width_mm(chart_.y_title, kSize_mm);
    const double left = std::clamp(here - wide / 2, title + 3, std::max(title + 3, picture_.width_mm - wide));
    write(chart_.now_words, {left, kTop_mm - 2.5}, Align::kStart);
  }

  void put_events() {
    double end = -1;
    for (const ChartTick& event : chart_.events) {
      if (!shows(event.at_day)) continue;
      const double here = x(event.at_day);
      picture_.marks.emplace_back(
          Polygon{{{{here, floor_ - 0.2}, {here - 0.9, floor_ - 2}, {here + 0.9, floor_ - 2}}}, kInk});
      const double wide = type_.width_mm(event.words, kSize_mm);
      const double left = std::clamp(here - wide / 2, kLeft_mm, std::max(kLeft_mm, right_ - wide));
      if (left < end + 2 || wide > right_ - kLeft_mm) continue;
      write(event.words, {left, floor_ + 8}, Align::kStart);
      end = left + wide;
    }
  }

  void put_dots() {
    for (const ChartDot& dot : chart_.dots) {
      if (!shows(dot.at_day)) continue;
      const Line ring = circle({x(dot.at_day), y(dot.value)}, dot.earlier ? 0.45 : 0.65);
      picture_.marks.emplace_back(Polygon{{ring}, dot.counts ? kInk : kWhite});
      picture_.marks.emplace_back(Stroke{.line = ring, .closed = true, .width_mm = 0.15, .colour = kInk});
    }
  }

  const TimeChart& chart_;
  TypeSetter type_;
  Picture picture_;
  double right_;
  double floor_;
  double most_ = 1;
};

}  // namespace

Picture time_chart(const TimeChart& chart, double width_mm, double height_mm) {
  return Chart(chart, width_mm, height_mm).draw();
}

}  // namespace throughcure::draw
