// What is said of curing as a whole: within one laboratory, across laboratories, beside a constant.
#include "verify/cure_summary.hpp"

#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "verify/checks_json.hpp"

namespace throughcure::verify {
namespace {

Check depth(const std::string& id, double published, bool within, bool counted) {
  Check check;
  check.id = id;
  check.group = "cure";
  check.published = published;
  check.ours = 2;
  check.low = 1.8;
  check.high = 2.2;
  check.inside = published > 1.8 && published < 2.2;
  check.within_laboratory = within;
  check.counted = counted;
  check.scored = Scored::kScrapedDepth;
  check.alone_low = 1;
  check.alone_high = 3;
  if (!counted) check.why_not = "the lamp is not known";
  if (!counted) check.missing = "the lamp";
  return check;
}

std::vector<Check> checks() {
  std::vector<Check> all = {depth("a/1", 2.1, true, true), depth("a/2", 2.5, true, true),
                            depth("a/3", 1.9, true, false), depth("b/1", 5.0, false, false),
                            depth("b/2", 4.0, false, false)};
  // Lengths, twice the depth.
  for (std::size_t i = 3; i < 5; ++i) {
    all[i].to_scored = 0.5;
    all[i].alone_low = 2;
    all[i].alone_high = 6;
  }
  Check other = depth("c/1", 0.1, true, true);
  other.group = "optics";
  all.push_back(other);
  Check waiting = depth("d/1", 1, false, false);
  waiting.ours.reset();
  all.push_back(waiting);
  return all;
}

TEST(CureSummary, ScoresDepthsOfAllStudiesInOneUnit) {
  const CureSummary sum = cure_summary(checks());
  EXPECT_EQ(sum.shown, 5U);
  EXPECT_EQ(sum.counted, 2U);
  EXPECT_EQ(sum.counted_inside, 1U);
  EXPECT_EQ(sum.within_counted.ours.rows, 2U);
  EXPECT_EQ(sum.within_counted.ours.inside, 1U);
  EXPECT_EQ(sum.within_shown.ours.rows, 3U);
  EXPECT_NEAR(sum.within_shown.ours.median_width, 0.4, 1e-12);
  EXPECT_EQ(sum.across_depths.ours.rows, 5U);
  EXPECT_EQ(sum.across_depths.ours.inside, 5U) << "lengths of 4 and 5 are depths of 2 and 2.5";
  EXPECT_NEAR(sum.across_depths.ours.median_width, 2, 1e-12);
  EXPECT_EQ(sum.across_depths.constant.rows, 5U);
  EXPECT_EQ(sum.across_conversions.ours.rows, 0U);
  EXPECT_EQ(sum.most_missing, "the lamp");
  EXPECT_EQ(sum.most_missing_rows, 4U);
  EXPECT_NE(sentences(sum).find("1 of 2 inside"), std::string::npos) << sentences(sum);
  EXPECT_EQ(sentences(cure_summary({})), "");
}

TEST(CureSummary, StandsInTheDocument) {
  const std::vector<Check> all = checks();
  const nlohmann::json document = nlohmann::json::parse(json_text(all, summary(all), cure_summary(all)));
  const nlohmann::json& cure = document.at("cure_summary");
  EXPECT_EQ(cure.at("within_laboratory_counted_mm").at("inside"), 1);
  EXPECT_EQ(cure.at("across_laboratories_depth_mm").at("constant_mean").at("rows"), 5);
  EXPECT_EQ(document.at("checks").at(0).at("priors_alone").at("high"), 3);
}

}  // namespace
}  // namespace throughcure::verify
