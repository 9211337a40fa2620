// Studies as files: what they say arrives, and everything that is wrong is found at once.
#include "throughcure/exchange/validation_file.hpp"

#include <cmath>
#include <string>
#include <variant>

#include <gtest/gtest.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::exchange {
namespace {

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
    EXPECT_NE(said.find(part), std::string::npos) << part << " in\n" << said;
  }
}

TEST(ValidationFile, WhatMayNotCountDoesNotGetIn) {
  EXPECT_NE(problems_of(changed(kSlab, ", counted = false, why_not = \"from memory\"", "")).find("memory"),
            std::string::npos);
  EXPECT_NE(problems_of(changed(kSlab, ", why_not = \"from memory\"", "")).find("no reason"), std::string::npos);
  EXPECT_NE(problems_of(changed(kSlab, "error = 0.01", "error = 0.01, why_not = \"x\"")).find("counts"),
            std::string::npos);
  EXPECT_NE(problems_of(changed(kSlab, "source = \"a table\"\n", "")).find("source"), std::string::npos);
  EXPECT_NE(problems_of(changed(kSlab, "name = \"bin\"", "name = \"Rd\"")).find("another row"), std::string::npos);
  EXPECT_NE(problems_of(changed(kSlab, "experiment = \"slab\"", "experiment = \"guess\"")).find("guess"),
            std::string::npos);
  EXPECT_NE(problems_of(changed(kSlab, ", thickness_mm = 2", "")).find("not the last"), std::string::npos);
  EXPECT_NE(problems_of(changed(kSlab, "depth_bins = 5\n", "")).find("depth_bins"), std::string::npos);
}

TEST(ValidationFile, AStudyThatNothingCanRunIsShownAndNeverCounts) {
  constexpr std::string_view waiting = R"(
id = "w"
group = "cure"
experiment = "scrape series"
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
  EXPECT_EQ(rows[0].why_not, "no simulation of this study yet");
  EXPECT_EQ(rows[1].why_not, "the irradiance is not known");
  EXPECT_NE(problems_of(changed(waiting, "published = 2.5", "published = nan")), "");
}

}  // namespace
}  // namespace throughcure::exchange
