#include "cure_summary.hpp"

#include <cstdio>
#include <vector>

namespace throughcure::verify {

namespace {

/// "scrape-series/L2 high, 10 s": the study is what stands before the stroke.
std::string study_of(const Check& check) { return check.id.substr(0, check.id.find('/')); }

Foretold foretold(const Check& check, double low, double high) {
  const double f = check.to_scored;
  return {study_of(check), f * check.published, f * low, f * high};
}

Compared compared(const std::vector<Foretold>& rows, BaselineOf of) {
  return {score(rows), score(constant_mean(rows, of))};
}

std::string words(const char* what, const Compared& compared, const char* unit) {
  char text[400];
  std::snprintf(
      text, sizeof text,
      "%s: %zu of %zu inside the middle 80 %%, median width %.2f%s, interval score %.2f; a constant mean: %zu "
      "of %zu, %.2f%s, %.2f.\n",
      what, compared.ours.inside, compared.ours.rows, compared.ours.median_width, unit, compared.ours.mean_score,
      compared.constant.inside, compared.constant.rows, compared.constant.median_width, unit,
      compared.constant.mean_score);
  return text;
}

}  // namespace

CureSummary cure_summary(std::span<const Check> checks) {
  CureSummary sum;
  std::vector<Check> curing;
  for (const Check& check : checks) {
    if (check.group == "cure") curing.push_back(check);
  }
  std::vector<Foretold> within_counted;
  std::vector<Foretold> within_shown;
  std::vector<Foretold> depths;
  std::vector<Foretold> conversions;
  for (const Check& check : curing) {
    if (!check.ours) continue;
    ++sum.shown;
    sum.counted += check.counted ? 1U : 0U;
    sum.counted_inside += check.counted && check.inside ? 1U : 0U;
    if (check.within_laboratory && check.low && check.high) {
      within_shown.push_back(foretold(check, *check.low, *check.high));
      if (check.counted) within_counted.push_back(within_shown.back());
    }
    if (!check.alone_low || !check.alone_high) continue;
    const Foretold alone = foretold(check, *check.alone_low, *check.alone_high);
    if (check.scored == Scored::kScrapedDepth) depths.push_back(alone);
    if (check.scored == Scored::kConversion) conversions.push_back(alone);
  }
  sum.within_counted = compared(within_counted, BaselineOf::kOtherRows);
  sum.within_shown = compared(within_shown, BaselineOf::kOtherRows);
  sum.across_depths = compared(depths, BaselineOf::kOtherStudies);
  sum.across_conversions = compared(conversions, BaselineOf::kOtherStudies);
  const Summary missing = summary(curing);
  sum.most_missing = missing.most_missing;
  sum.most_missing_rows = missing.most_missing_rows;
  return sum;
}

std::string sentences(const CureSummary& summary) {
  if (summary.shown == 0) return "";
  std::string text = "Curing: " + std::to_string(summary.shown) + " rows simulated, " +
                     std::to_string(summary.counted) + " of them count, " + std::to_string(summary.counted_inside) +
                     " of those inside.\n";
  text += words("Scraped depth within one laboratory, rows that count", summary.within_counted, " mm");
  text += words("Scraped depth within one laboratory, all rows", summary.within_shown, " mm");
  text += words("Scraped depth across laboratories, priors alone", summary.across_depths, " mm");
  text += words("Conversion across laboratories, priors alone", summary.across_conversions, "");
  if (!summary.most_missing.empty()) {
    text += "One fact would let " + std::to_string(summary.most_missing_rows) +
            " more rows of curing count: " + summary.most_missing + ".\n";
  }
  return text;
}

}  // namespace throughcure::verify
