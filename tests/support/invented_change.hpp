// Invented changes for tests.
#pragma once

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "throughcure/practice/change.hpp"

namespace throughcure::test {

/// A private value with the salt first, first + 1, ..., first + 31: nothing that a practice should do.
inline practice::Opening invented_opening(std::uint8_t first, std::string value) {
  practice::Opening out{.salt = {}, .value = std::move(value)};
  for (std::size_t i = 0; i < out.salt.size(); ++i) out.salt.at(i) = static_cast<std::uint8_t>(first + i);
  return out;
}

/// A restoration, written down: with a private chart number and remark.
inline practice::Change invented_change(std::uint64_t number) {
  return {.number = number,
          .at = {1'767'600'000'000'000 + static_cast<std::int64_t>(number) * 60'000'000},
          .person = "p2",
          .kind = "restoration",
          .record = "r" + std::to_string(number),
          .before = {},
          .after = {{"chart", practice::commit(invented_opening(static_cast<std::uint8_t>(number), "004711"))},
                    {"light", "L1"},
                    {"remark", practice::commit(invented_opening(100, "moved in the second press"))},
                    {"seconds", "20"},
                    {"tooth", "36"}}};
}
inline std::vector<practice::Change> invented_changes(std::uint64_t count) {
  std::vector<practice::Change> out;
  out.reserve(count);
  for (std::uint64_t number = 1; number <= count; ++number) out.push_back(invented_change(number));
  return out;
}

}  // namespace throughcure::test
