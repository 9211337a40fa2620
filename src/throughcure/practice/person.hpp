// Who works there, and what they may do.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <tuple>

#include "throughcure/base/record.hpp"

namespace throughcure::practice {

/// From the one who may only look to the one who answers for all lights.
enum class Role : std::uint8_t { kViewer, kAssistant, kClinician, kLead };

struct Person {
  using Kind = base::PersonKind;
  std::string name;  ///< private: the log names people by number
  Role role = Role::kViewer;
  base::SiteId site;
  bool active = true;       ///< one who left stays in the records
  bool everywhere = false;  ///< the role holds at every site, not only at their own
  static constexpr auto fields() {
    return std::tuple{base::field("name", &Person::name, base::Privacy::kPrivate), base::field("role", &Person::role),
                      base::field("site", &Person::site), base::field("active", &Person::active),
                      base::field("everywhere", &Person::everywhere)};
  }
  friend bool operator==(const Person&, const Person&) = default;
};

}  // namespace throughcure::practice

template <>
struct throughcure::base::Words<throughcure::practice::Role> {
  static constexpr std::array<std::string_view, 4> words = {"viewer", "assistant", "clinician", "lead"};
};
