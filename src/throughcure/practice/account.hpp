// How a person signs in: the name that they type, and when their secrets were set. The secrets themselves are kept
// apart (store: Writer::keep_secret), never in a record and never in the log.
#pragma once

#include <optional>
#include <string>
#include <tuple>

#include "throughcure/base/record.hpp"

namespace throughcure::practice {

struct Account {
  using Kind = base::AccountKind;
  base::PersonId person;
  std::string sign_in_name;                        ///< private, lower case; one account has it
  std::optional<base::Instant> password_set_at{};  ///< none: nobody can sign in by it yet
  std::optional<base::Instant> pin_set_at{};
  static constexpr auto fields() {
    using A = Account;
    return std::tuple{base::field("person", &A::person),
                      base::field("sign_in_name", &A::sign_in_name, base::Privacy::kPrivate),
                      base::field("password_set_at", &A::password_set_at), base::field("pin_set_at", &A::pin_set_at)};
  }
  friend bool operator==(const Account&, const Account&) = default;
};

}  // namespace throughcure::practice
