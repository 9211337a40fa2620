#include "throughcure/exchange/vti.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstring>
#include <string_view>

#include "throughcure/base/base64.hpp"
#include "throughcure/base/markup.hpp"
#include "throughcure/base/number_text.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"

namespace throughcure::exchange {

namespace {

static_assert(std::endian::native == std::endian::little, "the file says little-endian: swap bytes on other machines");

void expect_sound(const GridData& data) {
  if (std::ranges::any_of(data.nodes, [](std::size_t n) { return n < 2; })) {
    throw base::Failure("a grid for a .vti file needs two nodes or more along each axis, and has " +
                        std::to_string(data.nodes[0]) + " x " + std::to_string(data.nodes[1]) + " x " +
                        std::to_string(data.nodes[2]));
  }
  if (!std::ranges::all_of(std::array{data.spacing.x, data.spacing.y, data.spacing.z},
                           [](double mm) { return mm > 0; })) {
    throw base::Failure("the spacing of a grid for a .vti file must be more than 0 mm along each axis");
  }
  if (data.fields.empty()) throw base::Failure("a .vti file needs one field at least");
  for (const GridField& field : data.fields) {
    if (field.values.size() != data.count()) {
      throw base::Failure("the field \"" + field.name + "\" has " + std::to_string(field.values.size()) +
                          " values, and its grid " + std::to_string(data.count()));
    }
    if (field.name.empty() || std::ranges::count(data.fields, field.name, &GridField::name) > 1) {
      throw base::Failure("every field of a .vti file needs a name of its own; \"" + field.name + "\" is none");
    }
  }
}

/// Length and values as one run of base64.
std::string packed(const std::vector<float>& values) {
  const std::uint64_t bytes = values.size() * sizeof(float);
  std::string raw(sizeof bytes + bytes, '\0');
  std::memcpy(raw.data(), &bytes, sizeof bytes);
  std::memcpy(raw.data() + sizeof bytes, values.data(), bytes);
  return base::base64(raw);
}

std::string three(double x, double y, double z) {
  return base::number_text(x) + " " + base::number_text(y) + " " + base::number_text(z);
}

}  // namespace

std::string vti_text(const GridData& data) {
  expect_sound(data);
  const std::string extent = "0 " + std::to_string(data.nodes[0] - 1) + " 0 " + std::to_string(data.nodes[1] - 1) +
                             " 0 " + std::to_string(data.nodes[2] - 1);
  const std::string kind = data.in_cells ? "CellData" : "PointData";
  std::string out =
      "<?xml version=\"1.0\"?>\n"
      "<VTKFile type=\"ImageData\" version=\"1.0\" byte_order=\"LittleEndian\" header_type=\"UInt64\">\n"
      "  <ImageData WholeExtent=\"" +
      extent + "\" Origin=\"" + three(data.first.x, data.first.y, data.first.z) + "\" Spacing=\"" +
      three(data.spacing.x, data.spacing.y, data.spacing.z) + "\">\n    <Piece Extent=\"" + extent + "\">\n      <" +
      kind + " Scalars=\"" + base::escaped_markup(data.fields.front().name) + "\">\n";
  for (const GridField& field : data.fields) {
    out += "        <DataArray type=\"Float32\" Name=\"" + base::escaped_markup(field.name) +
           "\" format=\"binary\">\n" + packed(field.values) + "\n        </DataArray>\n";
  }
  return out + "      </" + kind + ">\n    </Piece>\n  </ImageData>\n</VTKFile>\n";
}

void write_vti(const std::filesystem::path& path, const GridData& data) { base::write_file(path, vti_text(data)); }

}  // namespace throughcure::exchange
