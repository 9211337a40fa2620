// Inside or not, counted or not: the logic by which a published number is held against ours.
#include "verify/check.hpp"

#include <limits>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "verify/experiments.hpp"

namespace throughcure::verify {
namespace {

exchange::ValidationRow row(double published, double error = 0, double rounding = 0) {
  exchange::ValidationRow r;
  r.id = "a/b";
  r.published = published;
  r.error = error;
  r.rounding = rounding;
  return r;
}

TEST(Judge, TheIntervalIsThreeCombinedStandardErrorsAndTheRounding) {
  // hypot(0.3, 0.4) = 0.5, three of it and 0.1 and 0.2.
  const Check check = judge(row(10, 0.4, 0.1), {.value = 9, .se = 0.3, .tolerance = 0.2});
  ASSERT_TRUE(check.low && check.high);
  EXPECT_NEAR(*check.low, 7.2, 1e-12);
  EXPECT_NEAR(*check.high, 10.8, 1e-12);
  EXPECT_TRUE(check.inside);
  EXPECT_FALSE(judge(row(10.81, 0.4, 0.1), {.value = 9, .se = 0.3, .tolerance = 0.2}).inside);
  EXPECT_FALSE(judge(row(7.19, 0.4, 0.1), {.value = 9, .se = 0.3, .tolerance = 0.2}).inside);
}

TEST(Judge, AnIntervalOfItsOwnIsTakenAsItIs) {
  EXPECT_TRUE(judge(row(0.5, 10), {.value = 0.4, .low = 0.3, .high = 0.5}).inside);
  EXPECT_FALSE(judge(row(0.51, 10), {.value = 0.4, .low = 0.3, .high = 0.5}).inside);
}

TEST(Judge, NothingIsInsideWithoutANumber) {
  EXPECT_FALSE(judge(row(1), {}).inside);
  EXPECT_FALSE(judge(row(1), {}).ours.has_value());
  EXPECT_FALSE(judge(row(1), {.value = std::numeric_limits<double>::quiet_NaN(), .se = 5}).inside);
}

TEST(Summary, CountsAndNamesTheFactThatWouldHelpMost) {
  Check fits;
  fits.ours = 1;
  fits.inside = true;
  fits.counted = true;
  Check misfits = fits;
  misfits.inside = false;
  Check open = fits;
  open.counted = false;
  open.missing = "the detector";
  Check other = open;
  other.missing = "the lamp";
  Check not_run = other;
  not_run.ours.reset();
  not_run.missing.clear();
  const Summary sum = summary(std::vector<Check>{fits, misfits, other, open, open, not_run});
  EXPECT_EQ(sum.checks, 6U);
  EXPECT_EQ(sum.counted, 2U);
  EXPECT_EQ(sum.counted_inside, 1U);
  EXPECT_EQ(sum.not_simulated, 1U);
  EXPECT_EQ(sum.most_missing, "the detector");
  EXPECT_EQ(sum.most_missing_rows, 2U);
  EXPECT_NE(sentences(sum).find("let 2 more count: the detector."), std::string::npos) << sentences(sum);
}

/// Van de Hulst's slab with a published value of the test's choosing.
exchange::ValidationRow slab_row(exchange::SlabQuestion::Quantity quantity, double published) {
  exchange::ValidationRow r = row(published);
  exchange::SlabQuestion question{.setup = {.layers = {{1, 9, 0.75, 1, 0.2}}}, .quantity = quantity};
  r.question = question;
  return r;
}

// Source: van de Hulst 1980, table 35 (kind: published). 3 standard errors: a false alarm once in 370 seeds, fixed
// here.
TEST(RunChecks, ARightValueIsInsideAndAWrongOneIsNot) {
  using enum exchange::SlabQuestion::Quantity;
  const std::vector<exchange::ValidationRow> rows = {slab_row(kRd, 0.09739), slab_row(kTt, 0.66096),
                                                     slab_row(kRd, 0.1100), slab_row(kTt, 0.6500)};
  const Effort quick{.standard_error = 1e-3, .most_photons = 300'000};
  const std::vector<Check> one = run_checks(rows, quick, {.threads = 1});
  ASSERT_EQ(one.size(), 4U);
  EXPECT_TRUE(one[0].inside && one[1].inside);
  EXPECT_FALSE(one[2].inside || one[3].inside);
  EXPECT_LT(*one[0].high - *one[0].low, 6 * 1.2e-3) << "the error that was asked for";
  const std::vector<Check> two = run_checks(rows, quick, {.threads = 2});
  for (std::size_t i = 0; i < 4; ++i) EXPECT_EQ(one[i].ours, two[i].ours) << "must not depend on the threads";
}

TEST(RunChecks, EveryKindOfExperimentKeepsTheOrderOfTheRows) {
  std::vector<exchange::ValidationRow> rows(4, row(0));
  rows[0].question = exchange::PhotonsQuestion{.at_nm = 470};
  rows[1].question = exchange::NotYetQuestion{};
  rows[2].question = exchange::FresnelQuestion{.n1 = 1, .n2 = 1.5};
  rows[3].question = exchange::DiffuseFresnelQuestion{.n1 = 1, .n2 = 1.5};
  const std::vector<Check> checks = run_checks(rows, kCoarse, {});
  // Sources: SI constants; Fresnel at right angles; optics handbooks' diffuse reflectance of glass (kind: derived).
  EXPECT_NEAR(checks[0].ours.value(), 3.929, 5e-4);
  EXPECT_FALSE(checks[1].ours.has_value());
  EXPECT_NEAR(checks[2].ours.value(), 0.04, 1e-12);
  EXPECT_NEAR(checks[3].ours.value(), 0.09178, 6e-6);
}

TEST(DistanceLoss, AKnownLossNarrowsWhatIsPossible) {
  exchange::DistanceLossQuestion question{.distance_mm = 10, .tip_from_mm = 7, .tip_to_mm = 9, .sensor_from_mm = 2};
  const Answer open = answer(question);
  question.known_at_mm = 7;
  question.known_loss = 0.25;
  const Answer known = answer(question);
  ASSERT_TRUE(open.low && open.high && known.low && known.high);
  EXPECT_LT(*known.high - *known.low, 0.5 * (*open.high - *open.low));
  EXPECT_GT(*known.low, 0.25) << "a light loses more at 10 mm than at 7 mm";
  EXPECT_GE(*known.low, *open.low);
  EXPECT_LE(*known.high, *open.high);
}

TEST(Transmission, ThickerLetsLessThrough) {
  exchange::TransmissionQuestion question{.medium = exchange::TransmissionQuestion::Tissue::kDentine,
                                          .thickness_mm = 0.5};
  const Answer thin = answer(question, {.threads = 2});
  question.thickness_mm = 2;
  const Answer thick = answer(question, {.threads = 2});
  EXPECT_LT(thick.value.value(), thin.value.value());
  EXPECT_LT(*thick.low, *thick.value);
  EXPECT_GT(*thick.high, *thick.value);
}

}  // namespace
}  // namespace throughcure::verify
