// The reader of a chart's readings on any bytes: it never breaks, and what it vouches for can be charted.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "throughcure/exchange/chart_csv.hpp"

using namespace throughcure;

// The name is libFuzzer's.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  base::Problems problems;
  const auto series = exchange::parse_chart_series(text, "fuzz.csv", problems);
  if (series.has_value() != problems.empty() || problems.size() > 21) std::abort();
  if (!series) return 0;
  if (series->value.empty() || series->value.size() > exchange::kMostChartRows) std::abort();
  if (!series->time.empty() && series->time.size() != series->value.size()) std::abort();
  for (const double value : series->value) {
    if (!std::isfinite(value)) std::abort();
  }
  return 0;
}
