// A value that the practice has chosen, with where it comes from: limits, intervals.
#pragma once

#include <string>
#include <tuple>

#include "throughcure/base/record.hpp"

namespace throughcure::practice {

struct Setting {
  using Kind = base::SettingKind;
  std::string name;  ///< "lower_limit_mw_cm2"
  double number = 0;
  std::string origin;  ///< its kind: "standard", "common practice, no source", "chosen here"
  std::string source;
  static constexpr auto fields() {
    return std::tuple{base::field("name", &Setting::name), base::field("number", &Setting::number),
                      base::field("origin", &Setting::origin), base::field("source", &Setting::source)};
  }
  friend bool operator==(const Setting&, const Setting&) = default;
};

}  // namespace throughcure::practice
