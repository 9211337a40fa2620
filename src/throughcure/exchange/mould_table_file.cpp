#include "throughcure/exchange/mould_table_file.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <memory>
#include <utility>

#include "throughcure/base/number_text.hpp"
#include "throughcure/exchange/embedded_reference.hpp"
#include "throughcure/exchange/reference_cure.hpp"
#include "throughcure/exchange/sourced_number.hpp"
#include "throughcure/exchange/toml_document.hpp"

namespace throughcure::exchange {

namespace {

constexpr double kPerUnit = 1000;       // of a logarithm
constexpr std::size_t kMostNodes = 50;  // in one direction

/// Calls `row(key)` for every resin and wall in the order of the table: "s0w0a0" is the first mus', wall and mua.
template <class Row>
void for_each_row(const cure::MouldGrid& grid, const Row& row) {
  for (std::size_t s = 0; s < grid.reduced_scattering_per_mm.size(); ++s) {
    for (std::size_t w = 0; w < grid.wall_reflectance.size(); ++w) {
      for (std::size_t a = 0; a < grid.mua_per_mm.size(); ++a) {
        row("s" + std::to_string(s) + "w" + std::to_string(w) + "a" + std::to_string(a));
      }
    }
  }
}

std::string joined(const std::vector<double>& values) {
  std::string text;
  for (const double v : values) text += (text.empty() ? "" : " ") + base::number_text(v);
  return text;
}

std::string row_text(const std::vector<double>& values, std::size_t from, std::size_t count) {
  std::string text;
  for (std::size_t i = from; i < from + count; ++i) {
    text += (text.empty() ? "" : " ") + std::to_string(std::lround(values[i] * kPerUnit));
  }
  return text;
}

/// Numbers between single spaces, `count` of them or, for 0, two to `kMostNodes`; what is not: a problem and zeros.
std::vector<double> numbers_in(const TomlTable& table, const std::string& key, std::size_t count) {
  const std::string text = table.text(key);
  std::vector<double> values;
  const char* at = text.data();
  const char* const end = at + text.size();
  while (at < end) {
    double value = 0;
    const auto [next, error] = std::from_chars(at, end, value);
    if (error != std::errc() || !std::isfinite(value)) break;
    values.push_back(value);
    at = next < end && *next == ' ' ? next + 1 : next;
  }
  const bool right = count > 0 ? values.size() == count : values.size() >= 2 && values.size() <= kMostNodes;
  if (at != end || !right) {
    table.refuse(key, "its numbers are not those of such a table", "Make the file anew with throughcure_make_tables");
    values.assign(std::max<std::size_t>(2, count), 0);
  }
  return values;
}

}  // namespace

std::string mould_table_text(const cure::MouldTable& table) {
  const cure::MouldLight& light = table.light;
  const cure::MouldGrid& grid = light.grid;
  const auto number = [](const char* key, double value) {
    return std::string(key) + " = " + base::number_text(value) + "\n";
  };
  std::string text =
      "# Made by throughcure_make_tables: light on the axis of the scrape test's mould. Not to be edited by hand.\n\n";
  text += "[mould]\nkind = \"" + std::string(word(table.provenance.kind)) + "\"\n";
  text += "source = \"" + table.provenance.source + "\"\n";
  text += number("bore_diameter_mm", table.form.bore_diameter_mm) + number("height_mm", table.form.height_mm) +
          number("wall_specular", table.form.wall_specular) +
          number("floor_reflectance", table.form.floor_reflectance) + number("standoff_mm", table.form.standoff_mm) +
          number("tip_diameter_mm", table.tip_diameter_mm) + number("core_exponent", table.shape.core_exponent) +
          number("tail_exponent", table.shape.tail_exponent) + number("tail_share", table.shape.tail_share) +
          number("n", grid.n) + number("g", grid.g) + number("depth_step_mm", light.depth_step_mm) +
          number("photons", static_cast<double>(table.photons)) + number("seed", static_cast<double>(table.seed));
  text += "mua_per_mm = \"" + joined(grid.mua_per_mm) + "\"\n";
  text += "reduced_scattering_per_mm = \"" + joined(grid.reduced_scattering_per_mm) + "\"\n";
  text += "wall_reflectance = \"" + joined(grid.wall_reflectance) + "\"\n";

  text += "\n[thousandths_of_ln_fluence_per_exitance]\n";
  std::size_t from = 0;
  for_each_row(grid, [&](const std::string& key) {
    text += key + " = \"" + row_text(light.log_fluence, from, light.depths) + "\"\n";
    from += light.depths;
  });
  return text;
}

cure::MouldTable parse_mould_table(std::string_view text, std::string name) {
  const TomlDocument file = TomlDocument::parse(text, std::move(name));
  const TomlTable mould = file.root().table("mould");
  cure::MouldTable table;
  table.provenance = read_provenance(mould);
  const Limits length{.at_least = 0, .unit = "mm"};
  const Limits share{.at_least = 0, .at_most = 1};
  const Limits exponent{.at_least = 0};
  table.form = {.bore_diameter_mm = mould.number("bore_diameter_mm", length),
                .height_mm = mould.number("height_mm", length),
                .wall_specular = mould.number("wall_specular", share),
                .floor_reflectance = mould.number("floor_reflectance", share),
                .standoff_mm = mould.number("standoff_mm", length)};
  table.tip_diameter_mm = mould.number("tip_diameter_mm", length);
  table.shape = {.core_exponent = mould.number("core_exponent", exponent),
                 .tail_exponent = mould.number("tail_exponent", exponent),
                 .tail_share = mould.number("tail_share", share)};
  cure::MouldLight& light = table.light;
  light.grid = {.mua_per_mm = numbers_in(mould, "mua_per_mm", 0),
                .reduced_scattering_per_mm = numbers_in(mould, "reduced_scattering_per_mm", 0),
                .wall_reflectance = numbers_in(mould, "wall_reflectance", 0),
                .n = mould.number("n", {.at_least = 1, .at_most = 4}),
                .g = mould.number("g", {.above = -1, .below = 1})};
  light.depth_step_mm = mould.number("depth_step_mm", {.at_least = 0.01, .at_most = 1, .unit = "mm"});
  table.photons = static_cast<std::uint64_t>(mould.number("photons", {.at_least = 1, .at_most = 1e12}));
  table.seed = static_cast<std::uint64_t>(mould.number("seed", {.at_least = 0, .at_most = 1e9}));
  base::refuse_if_any(file.problems());

  light.depths = static_cast<std::size_t>(table.form.height_mm / light.depth_step_mm);
  const TomlTable rows = file.root().table("thousandths_of_ln_fluence_per_exitance");
  for_each_row(light.grid, [&](const std::string& key) {
    for (const double v : numbers_in(rows, key, light.depths)) light.log_fluence.push_back(v / kPerUnit);
  });
  base::refuse_if_any(file.problems());
  return table;
}

cure::MouldTable reference_mould_table() { return parse_mould_table(reference_text("mould"), "reference/mould.toml"); }

cure::DrawSource draw_source(cure::Material material) {
  return {.priors = reference_cure(),
          .material = std::move(material),
          .mould_reflectance = reference_steel().reflectance,
          .mould_table = std::make_shared<const cure::MouldTable>(reference_mould_table())};
}

}  // namespace throughcure::exchange
