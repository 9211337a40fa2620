// The readings of one light in the order in which they were taken, from a table with a header.
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/base/problem.hpp"

namespace throughcure::exchange {

/// The most rows that a chart's file may have.
inline constexpr std::size_t kMostChartRows = 20'000;

struct ChartSeries {
  std::vector<double> value;  ///< finite, at most 1e12 in size, in the unit of the file
  std::vector<std::string>
      time;  ///< as they stand in the file, one for each value; empty where there is no such column
};

/// Reads a table whose header names a column "value" and may name "time"; others are passed over. Columns are separated
/// by ; or tab or comma, whichever the header has first in this order; a field in double quotes may hold the separator;
/// decimals by a point, or by a comma where commas do not separate. Times are all numbers (years, days), or all dates
/// YYYY-MM-DD with or without a time of day (T or a space, hh:mm or longer), and never go back. A byte order mark,
/// Windows line ends, blank lines and what follows a # are passed over. 1 to 20,000 rows. Everything that is wrong is
/// added to `problems` with its line (the first 20), and nothing is returned then.
std::optional<ChartSeries> read_chart_series(const std::filesystem::path& path, base::Problems& problems);

/// The same for text that came from elsewhere; `file` stands for it in problems.
std::optional<ChartSeries> parse_chart_series(std::string_view text, const std::string& file, base::Problems& problems);

}  // namespace throughcure::exchange
