#include "interval_score.hpp"

#include <algorithm>
#include <cmath>

#include "throughcure/cure/scrape.hpp"

namespace throughcure::verify {

namespace {
constexpr double kSdOfCentral = 1.2815515655446004;  // sd from the middle to the end of the middle 80 %
}

double interval_score(const Foretold& foretold) {
  const double below = std::max(0.0, foretold.low - foretold.published);
  const double above = std::max(0.0, foretold.published - foretold.high);
  return foretold.high - foretold.low + 2 / (1 - kCentral) * (below + above);
}

Score score(std::span<const Foretold> foretold) {
  Score result{.rows = foretold.size()};
  if (foretold.empty()) return result;
  std::vector<double> widths;
  double sum = 0;
  for (const Foretold& row : foretold) {
    result.inside += row.low <= row.published && row.published <= row.high ? 1U : 0U;
    widths.push_back(row.high - row.low);
    sum += interval_score(row);
  }
  result.median_width = cure::quantile(widths, 0.5);
  result.mean_score = sum / static_cast<double>(foretold.size());
  return result;
}

std::vector<Foretold> constant_mean(std::span<const Foretold> rows, BaselineOf of) {
  std::vector<Foretold> constant;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    double n = 0;
    double sum = 0;
    double squares = 0;
    for (std::size_t k = 0; k < rows.size(); ++k) {
      const bool same_study = rows[k].study == rows[i].study;
      if (k == i || same_study == (of == BaselineOf::kOtherStudies)) continue;
      n += 1;
      sum += rows[k].published;
      squares += rows[k].published * rows[k].published;
    }
    if (n < 2) continue;
    const double mean = sum / n;
    const double sd = std::sqrt(std::max(0.0, (squares - n * mean * mean) / (n - 1)));
    const double reach = kSdOfCentral * sd * std::sqrt(1 + 1 / n);
    constant.push_back({rows[i].study, rows[i].published, mean - reach, mean + reach});
  }
  return constant;
}

}  // namespace throughcure::verify
