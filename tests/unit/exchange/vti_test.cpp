// A .vti file read back by the format's own rules.
#include "throughcure/exchange/vti.hpp"

#include <cstring>
#include <filesystem>
#include <regex>

#include <gtest/gtest.h>

#include "support/from_base64.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"

namespace throughcure::exchange {
namespace {

GridData two_by_three_by_four() {
  GridData data{.first = {-1, 0.5, 0}, .spacing = {0.1, 0.2, 0.4}, .nodes = {2, 3, 4}, .fields = {}};
  GridField rate{"fluence rate [mW/cm2]", {}};
  GridField share{"a < b & \"c\" [1]", {}};
  for (int i = 0; i < 24; ++i) {
    rate.values.push_back(static_cast<float>(i) * 0.37F);
    share.values.push_back(-static_cast<float>(i));
  }
  data.fields = {rate, share};
  return data;
}

/// The values of a DataArray: eight bytes of length, then as many bytes of floats.
std::vector<float> values_in(const std::string& base64) {
  const std::string raw = tests::from_base64(base64);
  std::uint64_t bytes = 0;
  std::memcpy(&bytes, raw.data(), sizeof bytes);
  EXPECT_EQ(raw.size(), sizeof bytes + bytes);
  std::vector<float> values(bytes / sizeof(float));
  std::memcpy(values.data(), raw.data() + sizeof bytes, bytes);
  return values;
}

TEST(Vti, ReadsBackAsItWasGiven) {
  const GridData data = two_by_three_by_four();
  const auto path = std::filesystem::temp_directory_path() / "throughcure_vti_test.vti";
  write_vti(path, data);
  const std::string text = base::read_file(path);
  std::filesystem::remove(path);
  EXPECT_EQ(text, vti_text(data));
  EXPECT_TRUE(std::regex_search(
      text, std::regex("<VTKFile type=\"ImageData\" version=\"1.0\" byte_order=\"LittleEndian\" header_type=\"UInt64\">"
                       "\\s*<ImageData WholeExtent=\"0 1 0 2 0 3\" Origin=\"-1 0.5 0\" Spacing=\"0.1 0.2 0.4\">"
                       "\\s*<Piece Extent=\"0 1 0 2 0 3\">\\s*<PointData Scalars=\"fluence rate \\[mW/cm2\\]\">")));
  const std::regex array("<DataArray type=\"Float32\" Name=\"([^\"]*)\" format=\"binary\">\\s*(\\S+)\\s*</DataArray>");
  std::vector<std::smatch> found(std::sregex_iterator(text.begin(), text.end(), array), {});
  ASSERT_EQ(found.size(), 2U);
  EXPECT_EQ(found[0][1], "fluence rate [mW/cm2]");
  EXPECT_EQ(found[1][1], "a &lt; b &amp; &quot;c&quot; [1]");
  EXPECT_EQ(values_in(found[0][2]), data.fields[0].values);
  EXPECT_EQ(values_in(found[1][2]), data.fields[1].values);
}

TEST(Vti, CellsAreOneFewerAlongEachAxis) {
  GridData data = two_by_three_by_four();
  data.in_cells = true;
  EXPECT_EQ(data.count(), 6U);
  data.fields = {{"heat [W/mm3]", std::vector<float>(6, 1)}};
  EXPECT_NE(vti_text(data).find("<CellData Scalars=\"heat [W/mm3]\">"), std::string::npos);
}

TEST(Vti, RefusesWhatDoesNotFit) {
  const auto refusal = [](const GridData& data) {
    try {
      vti_text(data);
    } catch (const base::Failure& failure) {
      return std::string(failure.what());
    }
    return std::string();
  };
  GridData data = two_by_three_by_four();
  data.fields[1].values.pop_back();
  EXPECT_NE(refusal(data).find("has 23 values, and its grid 24"), std::string::npos);
  data = two_by_three_by_four();
  data.fields[1].name = data.fields[0].name;
  EXPECT_NE(refusal(data).find("a name of its own"), std::string::npos);
  data.nodes[2] = 1;
  EXPECT_NE(refusal(data).find("2 x 3 x 1"), std::string::npos);
  data = two_by_three_by_four();
  data.spacing.y = 0;
  EXPECT_NE(refusal(data).find("more than 0 mm"), std::string::npos);
}

}  // namespace
}  // namespace throughcure::exchange
