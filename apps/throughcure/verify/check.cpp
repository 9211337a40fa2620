#include "check.hpp"

#include <cmath>
#include <map>

namespace throughcure::verify {

Check judge(const exchange::ValidationRow& row, const Answer& answer) {
  Check check{.id = row.id,
              .group = row.group,
              .provenance = row.provenance,
              .published = row.published,
              .ours = answer.value,
              .low = answer.low,
              .high = answer.high,
              .counted = row.counted,
              .why_not = row.why_not,
              .missing = row.missing,
              .conditioned_on = row.conditioned_on,
              .within_laboratory = !row.given.empty(),
              .scored = answer.scored,
              .to_scored = answer.to_scored,
              .alone_low = answer.alone_low,
              .alone_high = answer.alone_high};
  if (answer.value && !(answer.low && answer.high)) {
    const double reach = 3 * std::hypot(answer.se, row.error) + row.rounding + answer.tolerance;
    check.low = *answer.value - reach;
    check.high = *answer.value + reach;
  }
  // A comparison with what is not a number is false: such an answer is never inside.
  check.inside = check.low && check.high && *check.low <= row.published && row.published <= *check.high;
  return check;
}

Summary summary(std::span<const Check> checks) {
  Summary sum{.checks = checks.size()};
  std::map<std::string, std::size_t> missing;
  for (const Check& check : checks) {
    sum.counted += check.counted ? 1U : 0U;
    sum.counted_inside += check.counted && check.inside ? 1U : 0U;
    sum.not_simulated += check.ours ? 0U : 1U;
    if (!check.counted && !check.missing.empty()) ++missing[check.missing];
  }
  for (const auto& [fact, rows] : missing) {
    if (rows <= sum.most_missing_rows) continue;
    sum.most_missing = fact;
    sum.most_missing_rows = rows;
  }
  return sum;
}

std::string sentences(const Summary& summary) {
  std::string text = std::to_string(summary.checks) + " checks against published results; " +
                     std::to_string(summary.counted) + " of them count, and of those " +
                     std::to_string(summary.counted_inside) + " lie inside our interval.";
  if (summary.not_simulated > 0) {
    text += " " + std::to_string(summary.not_simulated) + " are written down but not simulated.";
  }
  if (!summary.most_missing.empty()) {
    text += " One fact would let " + std::to_string(summary.most_missing_rows) +
            " more count: " + summary.most_missing + ".";
  }
  return text;
}

}  // namespace throughcure::verify
