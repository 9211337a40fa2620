// A value that must be there.
#pragma once

#include <optional>
#include <utility>

#include "throughcure/base/problem.hpp"

namespace throughcure::base {

/// What an optional holds. Throws Failure where it holds nothing: a fault of the program, not of its user.
template <class Value>
Value given(std::optional<Value> value) {
  if (!value) throw Failure("something that must be there is not");
  return *std::move(value);
}

}  // namespace throughcure::base
