#include "throughcure/exchange/nearest_name.hpp"

#include <algorithm>
#include <array>
#include <numeric>
#include <optional>

#include "throughcure/base/number_text.hpp"

namespace throughcure::exchange {

namespace {

/// A unit as it ends a key: `diameter_mm`. Units of one quantity share a letter; `in_base` converts to its first one.
struct UnitSuffix {
  std::string_view suffix;
  std::string_view shown;
  char quantity;
  double in_base;  ///< 0 where a factor alone does not convert (temperature)
};

// Longest first within a quantity is not needed: the whole tail after the stem is compared.
constexpr std::array kUnits = {
    UnitSuffix{"mm", "mm", 'l', 1},
    UnitSuffix{"cm", "cm", 'l', 10},
    UnitSuffix{"um", "um", 'l', 1e-3},
    UnitSuffix{"nm", "nm", 'l', 1e-6},
    UnitSuffix{"m", "m", 'l', 1000},
    UnitSuffix{"in", "in", 'l', 25.4},
    UnitSuffix{"s", "s", 't', 1},
    UnitSuffix{"ms", "ms", 't', 1e-3},
    UnitSuffix{"min", "min", 't', 60},
    UnitSuffix{"h", "h", 't', 3600},
    UnitSuffix{"mw", "mW", 'p', 1},
    UnitSuffix{"w", "W", 'p', 1000},
    UnitSuffix{"mw_cm2", "mW/cm2", 'e', 1},
    UnitSuffix{"w_cm2", "W/cm2", 'e', 1000},
    UnitSuffix{"w_m2", "W/m2", 'e', 0.1},
    UnitSuffix{"mw_mm2", "mW/mm2", 'e', 100},
    UnitSuffix{"j_cm2", "J/cm2", 'h', 1},
    UnitSuffix{"mj_cm2", "mJ/cm2", 'h', 1e-3},
    UnitSuffix{"per_mm", "1/mm", 'k', 1},
    UnitSuffix{"per_cm", "1/cm", 'k', 0.1},
    UnitSuffix{"per_m", "1/m", 'k', 1e-3},
    UnitSuffix{"deg", "deg", 'a', 1},
    UnitSuffix{"rad", "rad", 'a', 57.295779513082323},
    UnitSuffix{"g_ml", "g/mL", 'd', 1},
    UnitSuffix{"g_cm3", "g/cm3", 'd', 1},
    UnitSuffix{"kg_m3", "kg/m3", 'd', 1e-3},
    UnitSuffix{"fraction", "(fraction)", 'f', 1},
    UnitSuffix{"percent", "%", 'f', 0.01},
    UnitSuffix{"c", "C", 'T', 0},
    UnitSuffix{"k", "K", 'T', 0},
    UnitSuffix{"f", "F", 'T', 0},
};

/// The unit that `name` ends with after "stem_"; nothing when what follows is no unit.
std::optional<UnitSuffix> unit_after(std::string_view name, std::string_view stem) {
  if (name.size() < stem.size() + 2 || !name.starts_with(stem) || name[stem.size()] != '_') return std::nullopt;
  const std::string_view tail = name.substr(stem.size() + 1);
  const auto found = std::ranges::find(kUnits, tail, &UnitSuffix::suffix);
  if (found == kUnits.end()) return std::nullopt;
  return *found;
}

/// What to write when the two names are one quantity in two units, or one of them leaves its unit out.
std::optional<std::string> unit_remedy(std::string_view given, std::string_view known) {
  if (const auto wanted = unit_after(known, given)) {
    return "Give it as " + std::string(known) + ", in " + std::string(wanted->shown);
  }
  for (std::size_t cut = known.find('_'); cut != std::string_view::npos; cut = known.find('_', cut + 1)) {
    const std::string_view stem = known.substr(0, cut);
    const auto wanted = unit_after(known, stem);
    const auto written = unit_after(given, stem);
    if (!wanted || !written || wanted->quantity != written->quantity) continue;
    std::string remedy = "Give it as " + std::string(known);
    if (written->in_base > 0) {
      remedy += ": 1 " + std::string(written->shown) + " is " + base::number_text(written->in_base / wanted->in_base) +
                ' ' + std::string(wanted->shown);
    } else {
      remedy += ", in " + std::string(wanted->shown);
    }
    return remedy;
  }
  return std::nullopt;
}

}  // namespace

std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 0; i < a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i + 1;
    for (std::size_t j = 0; j < b.size(); ++j) {
      const std::size_t replace = diagonal + (a[i] == b[j] ? 0 : 1);
      diagonal = row[j + 1];
      row[j + 1] = std::min({replace, row[j] + 1, row[j + 1] + 1});
    }
  }
  return row.back();
}

std::string remedy_for_unknown(std::string_view given, const std::vector<std::string>& known) {
  for (const std::string& name : known) {
    if (const auto remedy = unit_remedy(given, name)) return *remedy;
  }
  if (known.empty()) return "Take it out; nothing else is known here";
  const std::string_view short_given = given.substr(0, 64);
  const auto nearest =
      std::ranges::min_element(known, {}, [&](const std::string& name) { return edit_distance(short_given, name); });
  if (edit_distance(short_given, *nearest) <= std::max<std::size_t>(2, nearest->size() / 3)) {
    return "Did you mean " + *nearest + "? Otherwise take it out";
  }
  std::string all;
  for (const std::string& name : known) all += (all.empty() ? "" : ", ") + name;
  return "Take it out; known here are " + all;
}

}  // namespace throughcure::exchange
