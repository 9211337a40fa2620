// Any change that is fit for the log.
#pragma once

#include <algorithm>
#include <cstdint>
#include <string>
#include <vector>

#include <rapidcheck.h>

#include "throughcure/practice/change.hpp"

namespace throughcure::test {

/// A character of Unicode, often one that a notation treats as its own.
inline rc::Gen<std::string> any_character() {
  const auto encoded = [](std::uint32_t point) {
    std::string out;
    if (point < 0x80) {
      out += static_cast<char>(point);
    } else if (point < 0x800) {
      out += static_cast<char>(0xC0U | (point >> 6U));
      out += static_cast<char>(0x80U | (point & 0x3FU));
    } else if (point < 0x10000) {
      out += static_cast<char>(0xE0U | (point >> 12U));
      out += static_cast<char>(0x80U | ((point >> 6U) & 0x3FU));
      out += static_cast<char>(0x80U | (point & 0x3FU));
    } else {
      out += static_cast<char>(0xF0U | (point >> 18U));
      out += static_cast<char>(0x80U | ((point >> 12U) & 0x3FU));
      out += static_cast<char>(0x80U | ((point >> 6U) & 0x3FU));
      out += static_cast<char>(0x80U | (point & 0x3FU));
    }
    return out;
  };
  return rc::gen::map(
      rc::gen::oneOf(rc::gen::inRange<std::uint32_t>(0, 0x80), rc::gen::inRange<std::uint32_t>(0, 0x800),
                     rc::gen::inRange<std::uint32_t>(0x800, 0xD800), rc::gen::inRange<std::uint32_t>(0xE000, 0x110000)),
      encoded);
}

/// Text of `least` to `most` characters.
inline std::string any_text(std::size_t least, std::size_t most) {
  std::string out;
  const auto count = *rc::gen::inRange<std::size_t>(least, most + 1);
  for (std::size_t i = 0; i < count; ++i) out += *any_character();
  return out;
}

inline practice::Fields any_fields() {
  practice::Fields fields;
  const auto count = *rc::gen::inRange<std::size_t>(0, 5);
  for (std::size_t i = 0; i < count; ++i) {
    practice::Field field{any_text(1, 6), {}};
    if (*rc::gen::arbitrary<bool>()) {
      field.value = any_text(0, 12);
    } else {
      field.value = practice::commit({.salt = {}, .value = any_text(0, 3)});
    }
    fields.push_back(std::move(field));
  }
  const auto by_name = [](const practice::Field& a, const practice::Field& b) { return a.name < b.name; };
  std::ranges::sort(fields, by_name);
  const auto same = [](const practice::Field& a, const practice::Field& b) { return a.name == b.name; };
  const auto rest = std::ranges::unique(fields, same);
  fields.erase(rest.begin(), rest.end());
  return fields;
}

/// Fit for the log.
inline practice::Change any_change() {
  return {.number = *rc::gen::inRange<std::uint64_t>(1, practice::kMostChanges + 1),
          .at = {*rc::gen::inRange<std::int64_t>(base::kEarliestInstant.us, base::kLatestInstant.us + 1)},
          .person = any_text(1, 5),
          .kind = any_text(1, 5),
          .record = any_text(1, 5),
          .before = any_fields(),
          .after = any_fields()};
}

}  // namespace throughcure::test
