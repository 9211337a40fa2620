// Studies as files: what they say arrives, and everything that is wrong is found at once.
#include "throughcure/exchange/validation_file.hpp"

#include <cmath>
#include <string>
#include <variant>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::exchange {
namespace {

using testing::HasSubstr;

constexpr std::string_view kSlab = R"(
id = "s"
group = "transport"
experiment = "slab"
source = "a table"
kind = "published"
rounding = 0.001
depth_bin_mm = 0.1
depth_bins = 5
layers = [ { mua_per_mm = 1, mus_per_mm = 9, g = 0.5, n = 1.4, thickness_mm = 2 }, { mua_per_mm = 0, mus_per_mm = 1, g = 0, n = 1 } ]
rows = [
  { name = "Rd", quantity = "Rd", published = 0.1, error = 0.01 },
  { name = "bin", quantity = "absorbed per mm", bin = 5, published = 0.2, mu0 = 0.5, rounding = 0, source = "another", kind = "derived" },
  { name = "memory", quantity = "A of layer", layer = 2, published = 0.3, kind = "from memory", source = "x", counted = false, why_not = "from memory", missing = "a source" },
]
)";

/// The text with `from` turned into `to`.
std::string changed(std::string_view text, std::string_view from, std::string_view to) {
  std::string result(text);
  const std::size_t at = result.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return result.replace(at, from.size(), to);
}

std::string problems_of(std::string_view toml) {
  try {
    (void)read_validation(toml, "validation/s.toml");
  } catch (const base::InputError& error) {
    return error.what();
  }
  return "";
}

TEST(ValidationFile, RowsTakeTheirOwnValuesBeforeTheStudys) {
  const std::vector<ValidationRow> rows = read_validation(kSlab, "s.toml");
  ASSERT_EQ(rows.size(), 3U);
  EXPECT_EQ(rows[0].id, "s/Rd");
  EXPECT_EQ(rows[0].group, "transport");
  EXPECT_EQ(rows[0].provenance.source, "a table");
  EXPECT_TRUE(rows[0].counted);
  EXPECT_DOUBLE_EQ(rows[0].error, 0.01);
  EXPECT_DOUBLE_EQ(rows[0].rounding, 0.001);
  EXPECT_EQ(rows[1].provenance.source, "another");
  EXPECT_DOUBLE_EQ(rows[1].rounding, 0);
  const auto& first = std::get<SlabQuestion>(rows[0].question);
  const auto& second = std::get<SlabQuestion>(rows[1].question);
  EXPECT_EQ(first.setup.layers.size(), 2U);
  EXPECT_TRUE(std::isinf(first.setup.layers[1].thickness_mm));
  EXPECT_DOUBLE_EQ(first.setup.mu0, 1);
  EXPECT_DOUBLE_EQ(second.setup.mu0, 0.5);
  EXPECT_EQ(second.index, 4U);
  EXPECT_FALSE(first.setup == second.setup);
  EXPECT_EQ(std::get<SlabQuestion>(rows[2].question).index, 1U);
  EXPECT_FALSE(rows[2].counted);
  EXPECT_EQ(rows[2].missing, "a source");
}

TEST(ValidationFile, EverythingWrongIsSaidAtOnce) {
  std::string toml = changed(kSlab, "g = 0.5", "g = 1.5");
  toml = changed(toml, "bin = 5", "bin = 6");
  toml = changed(toml, "mu0 = 0.5", "mu0 = 0.5, spare = 1");
  toml = changed(toml, "published = 0.1,", "");
  const std::string said = problems_of(toml);
  for (const char* part : {"g: 1.5", "bin", "spare", "published", "validation/s.toml:"}) {
    EXPECT_THAT(said, HasSubstr(part));
  }
}

TEST(ValidationFile, WhatMayNotCountDoesNotGetIn) {
  EXPECT_THAT(problems_of(changed(kSlab, ", counted = false, why_not = \"from memory\"", "")), HasSubstr("memory"));
  EXPECT_THAT(problems_of(changed(kSlab, ", why_not = \"from memory\"", "")), HasSubstr("no reason"));
  EXPECT_THAT(problems_of(changed(kSlab, "error = 0.01", "error = 0.01, why_not = \"x\"")), HasSubstr("counts"));
  EXPECT_THAT(problems_of(changed(kSlab, "source = \"a table\"\n", "")), HasSubstr("source"));
  EXPECT_THAT(problems_of(changed(kSlab, "name = \"bin\"", "name = \"Rd\"")), HasSubstr("another row"));
  EXPECT_THAT(problems_of(changed(kSlab, "experiment = \"slab\"", "experiment = \"guess\"")), HasSubstr("guess"));
  EXPECT_THAT(problems_of(changed(kSlab, ", thickness_mm = 2", "")), HasSubstr("not the last"));
  EXPECT_THAT(problems_of(changed(kSlab, "depth_bins = 5\n", "")), HasSubstr("depth_bins"));
}

TEST(ValidationFile, AStudyThatNothingCanRunIsShownAndNeverCounts) {
  constexpr std::string_view waiting = R"(
id = "w"
group = "cure"
experiment = "not simulated"
source = "a paper"
kind = "published"
seconds = 20
rows = [
  { name = "depth", published = 2.5, mould_mm = 4 },
  { name = "other", published = 2.1, counted = false, why_not = "the irradiance is not known" },
]
)";
  const std::vector<ValidationRow> rows = read_validation(waiting, "w.toml");
  ASSERT_EQ(rows.size(), 2U);
  for (const ValidationRow& row : rows) {
    EXPECT_TRUE(std::holds_alternative<NotYetQuestion>(row.question));
    EXPECT_FALSE(row.counted);
  }
  EXPECT_EQ(rows[0].why_not, "nothing simulates this study");
  EXPECT_EQ(rows[1].why_not, "the irradiance is not known");
  EXPECT_NE(problems_of(changed(waiting, "published = 2.5", "published = nan")), "");
}

constexpr std::string_view kScrapes = R"(
id = "c"
group = "cure"
experiment = "scrape"
source = "a paper"
kind = "published"
quantity = "depth mm"
material_class = "paste"
shade = "dark"
lamp_class = "blue LED"
lamp = "L2"
irradiance_mw_cm2 = { value = 900, low = 500, high = 1600, kind = "common practice", source = "", note = "not known" }
mould_mm = 4
leave_out_slope = true
rows = [
  { name = "10 s", published = 2.5, mode = "high", seconds = 10, presses = 2, conditioned_on = ["20 s"] },
  { name = "20 s", published = 2.9, mode = "high", seconds = 20, conditioned_on = ["10 s", "soft"] },
  { name = "soft", published = 2.1, mode = "soft", seconds = 20, rise_s = 4, starred = true, counted = false, why_not = "in doubt" },
]
)";

TEST(ValidationFile, AScrapeTestIsReadWithItsLightAndTheRowsItRestsOn) {
  const std::vector<ValidationRow> rows = read_validation(kScrapes, "c.toml");
  ASSERT_EQ(rows.size(), 3U);
  const auto& first = std::get<ScrapeQuestion>(rows[0].question);
  EXPECT_EQ(first.specimen.lamp, "L2 high");
  EXPECT_EQ(first.specimen.presses, 2);
  EXPECT_DOUBLE_EQ(first.specimen.irradiance_mw_cm2.high.value(), 1600);
  EXPECT_EQ(first.specimen.irradiance_mw_cm2.kind, base::Kind::kCommonPractice);
  EXPECT_DOUBLE_EQ(first.specimen.bore_mm.value(), 4);
  EXPECT_TRUE(first.specimen.leave_out_slope);
  EXPECT_EQ(first.specimen.shade, ShadeDepth::kDark);
  EXPECT_TRUE(std::holds_alternative<optics::Ramp>(std::get<ScrapeQuestion>(rows[2].question).specimen.course));
  EXPECT_EQ(rows[1].given, (std::vector<std::string>{"c/10 s", "c/soft"}));
  EXPECT_EQ(rows[1].conditioned_on, "10 s; soft");
  EXPECT_TRUE(rows[2].given.empty());
}

TEST(ValidationFile, AScrapeTestThatCannotBeIsRefused) {
  const auto said = [](std::string_view from, std::string_view to) { return problems_of(changed(kScrapes, from, to)); };
  EXPECT_THAT(said("[\"20 s\"]", "[\"30 s\"]"), HasSubstr("no other row"));
  EXPECT_THAT(said("[\"20 s\"]", "[\"10 s\"]"), HasSubstr("no other row")) << "not on itself";
  EXPECT_THAT(said(", counted = false, why_not = \"in doubt\"", ""), HasSubstr("in doubt must not count"));
  EXPECT_THAT(said("rise_s = 4", "rise_s = 4, presses = 2"), HasSubstr("rising"));
  EXPECT_THAT(said("lamp = \"L2\"", "lamp = \"L2\"\nlens = 3"), HasSubstr("lens"));
  EXPECT_THAT(said("seconds = 10", "seconds = -1"), HasSubstr("seconds"));
  EXPECT_THAT(said("\"scrape\"", "\"squeeze\""), HasSubstr("squeeze"));
}

TEST(ValidationFile, ConversionsAndHardnessesAreReadWithWhatTheyAsk) {
  constexpr std::string_view text = R"(
id = "x"
group = "cure"
experiment = "conversion"
source = "a paper"
kind = "published"
material_class = "bulk-fill"
lamp_class = "halogen"
materials = 8
counted = false
why_not = "shown"
rows = [
  { name = "least", quantity = "conversion", published = 0.59, irradiance_mw_cm2 = 1090, seconds = 20, depth_mm = 0, after_h = 0, one_of = "least" },
  { name = "gain", quantity = "dark gain", published = 0.03, from_h = 24, after_h = 720, x_at_from = 0.46 },
]
)";
  const std::vector<ValidationRow> rows = read_validation(text, "x.toml");
  const auto& least = std::get<ConversionQuestion>(rows.at(0).question);
  EXPECT_EQ(least.one_of, OneOf::kLeast);
  EXPECT_EQ(least.materials, 8);
  EXPECT_FALSE(least.specimen.bore_mm.has_value());
  EXPECT_DOUBLE_EQ(std::get<ConversionQuestion>(rows.at(1).question).x_at_from.value(), 0.46);
  EXPECT_THAT(problems_of(changed(text, "after_h = 720", "after_h = 20")), HasSubstr("not later"));
  EXPECT_THAT(problems_of(changed(text, "x_at_from = 0.46", "x_at_from = 0.46, seconds = 3")), HasSubstr("seconds"))
      << "the light of a specimen whose conversion was read is asked for by nobody";

  constexpr std::string_view hardness = R"(
id = "h"
group = "cure"
experiment = "hardness"
source = "a paper"
kind = "derived"
quantity = "hardness ratio"
material_class = "paste"
lamp_class = "blue LED"
irradiance_mw_cm2 = 900
seconds = 20
rounding = 0.0005
rows = [ { name = "2 mm", published = 0.763, thickness_mm = 2, top_vhn = 44.51, bottom_vhn = 33.98 } ]
)";
  EXPECT_DOUBLE_EQ(std::get<HardnessQuestion>(read_validation(hardness, "h.toml").at(0).question).thickness_mm, 2);
  EXPECT_THAT(problems_of(changed(hardness, "0.763", "0.773")), HasSubstr("ratio of the two"));
}

}  // namespace
}  // namespace throughcure::exchange
