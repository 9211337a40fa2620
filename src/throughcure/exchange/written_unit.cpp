#include "throughcure/exchange/written_unit.hpp"

#include <array>
#include <string>
#include <utility>

#include "throughcure/exchange/columns_text.hpp"

namespace throughcure::exchange {

namespace {

constexpr std::size_t kLongest = 24;  // bytes: no unit is written longer

struct Spelling {
  std::string_view text;
  Unit unit;
};

/// As `plain` leaves them.
constexpr std::array kSpellings = {
    Spelling{"mw/cm2", {Quantity::kPowerPerArea, 1}},
    Spelling{"mwcm-2", {Quantity::kPowerPerArea, 1}},
    Spelling{"mw/sqcm", {Quantity::kPowerPerArea, 1}},
    Spelling{"mw/squarecm", {Quantity::kPowerPerArea, 1}},
    Spelling{"mw_cm2", {Quantity::kPowerPerArea, 1}},
    Spelling{"w/cm2", {Quantity::kPowerPerArea, 1000}},
    Spelling{"wcm-2", {Quantity::kPowerPerArea, 1000}},
    Spelling{"w/sqcm", {Quantity::kPowerPerArea, 1000}},
    Spelling{"w_cm2", {Quantity::kPowerPerArea, 1000}},
    Spelling{"mw/mm2", {Quantity::kPowerPerArea, 100}},
    Spelling{"mwmm-2", {Quantity::kPowerPerArea, 100}},
    Spelling{"w/m2", {Quantity::kPowerPerArea, 0.1}},
    Spelling{"wm-2", {Quantity::kPowerPerArea, 0.1}},
    Spelling{"kw/m2", {Quantity::kPowerPerArea, 100}},
    Spelling{"kwm-2", {Quantity::kPowerPerArea, 100}},
    Spelling{"mw", {Quantity::kPower, 1}},
    Spelling{"w", {Quantity::kPower, 1000}},
    Spelling{"mm", {Quantity::kLength, 1}},
    Spelling{"cm", {Quantity::kLength, 10}},
    Spelling{"um", {Quantity::kLength, 0.001}},
    Spelling{"in", {Quantity::kLength, 25.4}},
    Spelling{"inch", {Quantity::kLength, 25.4}},
    Spelling{"s", {Quantity::kTime, 1}},
    Spelling{"sec", {Quantity::kTime, 1}},
    Spelling{"secs", {Quantity::kTime, 1}},
    Spelling{"second", {Quantity::kTime, 1}},
    Spelling{"seconds", {Quantity::kTime, 1}},
    Spelling{"ms", {Quantity::kTime, 0.001}},
    Spelling{"min", {Quantity::kTime, 60}},
    Spelling{"%", {Quantity::kShare, 0.01}},
    Spelling{"percent", {Quantity::kShare, 0.01}},
    Spelling{"j/cm2", {Quantity::kEnergyPerArea, 1}},
    Spelling{"jcm-2", {Quantity::kEnergyPerArea, 1}},
    Spelling{"mj/cm2", {Quantity::kEnergyPerArea, 0.001}},
};

/// Lower case, without blanks, multiplication signs and carets; raised digits as digits, the two micros as u.
std::string plain(std::string_view text) {
  constexpr std::array<std::pair<std::string_view, std::string_view>, 14> same = {{{"\xC2\xB2", "2"},
                                                                                   {"\xE2\x81\xBB", "-"},
                                                                                   {"\xE2\x88\x92", "-"},
                                                                                   {"\xC2\xB7", ""},
                                                                                   {"\xE2\x8B\x85", ""},
                                                                                   {"\xC3\x97", ""},
                                                                                   {"\xC2\xA0", ""},
                                                                                   {"\xE2\x80\xAF", ""},
                                                                                   {"\xC2\xB5", "u"},
                                                                                   {"\xCE\xBC", "u"},
                                                                                   {" ", ""},
                                                                                   {"^", ""},
                                                                                   {"*", ""},
                                                                                   {".", ""}}};
  std::string out;
  while (!text.empty()) {
    bool took = false;
    for (const auto& [from, to] : same) {
      if (took || !text.starts_with(from)) continue;
      out += to;
      text.remove_prefix(from.size());
      took = true;
    }
    if (took) continue;
    const char c = text.front();
    out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    text.remove_prefix(1);
  }
  if (const std::size_t per = out.find("per"); per != std::string::npos && out != "percent") out.replace(per, 3, "/");
  return out;
}

std::string_view bracketed(std::string_view name) {
  constexpr std::array<std::pair<char, char>, 2> brackets = {{{'(', ')'}, {'[', ']'}}};
  for (const auto& [open, close] : brackets) {
    const std::size_t from = name.rfind(open);
    const std::size_t to = name.rfind(close);
    if (from == std::string_view::npos || to == std::string_view::npos || to < from) continue;
    const std::string_view inside = trimmed(name.substr(from + 1, to - from - 1));
    if (unit_called(inside)) return inside;
  }
  return {};
}

}  // namespace

std::optional<Unit> unit_called(std::string_view text) {
  if (text.empty() || text.size() > kLongest) return std::nullopt;
  const std::string written = plain(text);
  for (const Spelling& spelling : kSpellings) {
    if (spelling.text == written) return spelling.unit;
  }
  return std::nullopt;
}

std::string_view unit_in_name(std::string_view name) {
  name = trimmed(name);
  if (unit_called(name)) return name;
  if (const std::string_view inside = bracketed(name); !inside.empty()) return inside;
  // The longest end of it, from a comma, a blank or a low line on, that is a unit.
  for (std::size_t at = name.find_first_of(" ,_"); at != std::string_view::npos;
       at = name.find_first_of(" ,_", at + 1)) {
    const std::string_view rest = trimmed(name.substr(at + 1));
    // "in" and "min" end names that are words.
    if (unit_called(rest) && rest != "in" && rest != "min") return rest;
  }
  return {};
}

std::string_view word(Quantity quantity) {
  switch (quantity) {
    case Quantity::kPowerPerArea:
      return "power per area";
    case Quantity::kPower:
      return "power";
    case Quantity::kLength:
      return "length";
    case Quantity::kTime:
      return "time";
    case Quantity::kShare:
      return "share";
    case Quantity::kEnergyPerArea:
      return "energy per area";
  }
  return "";
}

std::string_view kept_unit(Quantity quantity) {
  switch (quantity) {
    case Quantity::kPowerPerArea:
      return "mW/cm2";
    case Quantity::kPower:
      return "mW";
    case Quantity::kLength:
      return "mm";
    case Quantity::kTime:
      return "s";
    case Quantity::kShare:
      return "";
    case Quantity::kEnergyPerArea:
      return "J/cm2";
  }
  return "";
}

}  // namespace throughcure::exchange
