// One quantity over time in ink only, as a light's page shows it: readings, levels with their names, the band of an
// estimate into the days to come.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "throughcure/draw/picture.hpp"

namespace throughcure::draw {

struct ChartDot {
  double at_day = 0;  ///< days since any one instant, the same for all of a chart
  double value = 0;
  bool counts = true;    ///< one that does not is hollow
  bool earlier = false;  ///< of a tip or radiometer that is not used now: smaller
};

struct ChartBand {
  double at_day = 0;
  double p10 = 0;
  double p50 = 0;
  double p90 = 0;
};

enum class LevelKind : std::uint8_t { kLimit, kBaseline, kControl, kClaim };

struct ChartLevel {
  double value = 0;
  double from_day = 0;
  double to_day = 0;
  std::string words;  ///< beside its right end; empty for none
  LevelKind kind = LevelKind::kLimit;
};

struct ChartTick {
  double at_day = 0;
  std::string words;
};

struct TimeChart {
  double from_day = 0;
  double to_day = 1;
  double now_day = 0;  ///< what comes after it is forecast
  std::string y_title;
  std::string now_words;  ///< at the line of now
  std::vector<ChartDot> dots;
  std::vector<ChartBand> band;
  std::vector<ChartLevel> levels;
  std::vector<ChartTick> months;  ///< below the axis, as many as there is room for
  std::vector<ChartTick> events;  ///< what was done, as ticks on the axis; words where there is room
};

/// The value axis begins at 0. Values outside the days are left out, levels cut. The forecast is hatched, what was
/// estimated is grey, so that both read on grey print.
Picture time_chart(const TimeChart& chart, double width_mm, double height_mm);

}  // namespace throughcure::draw
