// Who is asking, as the rules see them: a person with an account, their role, and where it holds.
#pragma once

#include <string>

#include "throughcure/practice/person.hpp"

namespace throughcure::practice {

struct Member {
  base::AccountId account{};
  base::PersonId person{};
  std::string name{};
  Role role = Role::kViewer;
  base::SiteId site{};
  bool everywhere = false;  ///< the role holds at every site

  /// Whether what belongs to a site is theirs to see; what belongs to none is everybody's.
  [[nodiscard]] bool sees(base::SiteId of) const { return everywhere || of.number == 0 || of == site; }
};

}  // namespace throughcure::practice
