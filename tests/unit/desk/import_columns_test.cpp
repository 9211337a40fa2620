// Which column is which field. No outside source: the words are common practice.
#include "throughcure/desk/import_columns.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/desk/import_cells.hpp"

namespace throughcure::desk {
namespace {

std::string column_of(ImportKind kind, std::string_view field, const std::vector<std::string>& names) {
  const auto columns = suggested_columns(kind, names);
  const auto at = columns.find(field);
  if (at == columns.end()) return "no such field";
  return at->second ? names[*at->second] : "";
}

TEST(SuggestedColumns, FollowTheWordsThatNameThem) {
  const std::vector<std::string> names = {"Date",       "Time",       "Curing light", "Reading (mW/cm\u00b2)",
                                          "Checked by", "Sleeve on?", "Remarks",      "Light meter"};
  const auto of = [&](std::string_view field) { return column_of(ImportKind::kReading, field, names); };
  EXPECT_EQ(of("taken_at"), "Date");
  EXPECT_EQ(of("time_of_day"), "Time");
  EXPECT_EQ(of("light"), "Curing light");
  EXPECT_EQ(of("shown_mw_cm2"), "Reading (mW/cm\u00b2)");
  EXPECT_EQ(of("taken_by"), "Checked by");
  EXPECT_EQ(of("barrier_on"), "Sleeve on?");
  EXPECT_EQ(of("note"), "Remarks");
  EXPECT_EQ(of("radiometer"), "Light meter");
  EXPECT_EQ(of("battery"), "");
}

TEST(SuggestedColumns, BearASlipOfThePenAndWordsAround) {
  EXPECT_EQ(column_of(ImportKind::kReading, "radiometer", {"Radiometr"}), "Radiometr");
  EXPECT_EQ(column_of(ImportKind::kReading, "shown_mw_cm2", {"Light output [W/cm2]"}), "Light output [W/cm2]");
  EXPECT_EQ(column_of(ImportKind::kReading, "light", {"Light output", "The light in question"}),
            "The light in question");
  EXPECT_EQ(column_of(ImportKind::kLight, "serial", {"Serial-No."}), "Serial-No.");
  EXPECT_EQ(column_of(ImportKind::kRestoration, "chart", {"CHART #"}), "CHART #");
  EXPECT_EQ(column_of(ImportKind::kRestoration, "chart", {"Patient name"}), "")
      << "a name is never offered as a number";
  const std::vector<std::string> lots = {"Product name", "Colour", "LOT / Batch", "Exp. date", "Curing time [s]"};
  EXPECT_EQ(column_of(ImportKind::kLot, "material", lots), "Product name");
  EXPECT_EQ(column_of(ImportKind::kLot, "shade", lots), "Colour");
  EXPECT_EQ(column_of(ImportKind::kLot, "number", lots), "LOT / Batch");
  EXPECT_EQ(column_of(ImportKind::kLot, "expires_at", lots), "Exp. date");
  EXPECT_EQ(column_of(ImportKind::kLot, "ifu_seconds", lots), "Curing time [s]");
  EXPECT_EQ(column_of(ImportKind::kLot, "expires_at", {"Date"}), "") << "or the day of its delivery";
  EXPECT_EQ(column_of(ImportKind::kRadiometer, "aperture_mm", {"mm", "Sensor diameter (mm)"}), "Sensor diameter (mm)");
}

TEST(SuggestedColumns, UseEachColumnOnce) {
  const auto columns = suggested_columns(ImportKind::kReading, {"Light", "Light", "Date"});
  std::vector<std::size_t> used;
  for (const auto& [field, column] : columns) {
    if (column) used.push_back(*column);
  }
  EXPECT_THAT(used, testing::UnorderedElementsAre(0, 2));
}

TEST(GroupedNumber, HasACommaEveryThreeDigits) {
  EXPECT_EQ(grouped_number(1050), "1,050");
  EXPECT_EQ(grouped_number(999.5), "999.5");
  EXPECT_EQ(grouped_number(-1234567.25), "-1,234,567.25");
  EXPECT_EQ(grouped_number(0), "0");
}

}  // namespace
}  // namespace throughcure::desk
