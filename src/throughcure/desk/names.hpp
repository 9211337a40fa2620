// Whose name stands beside what was done.
#pragma once

#include <cstdint>
#include <map>
#include <string>

#include "throughcure/base/kinds.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

/// Names of people, each read once.
class Names {
 public:
  explicit Names(const store::Reader& reader) : reader_(&reader) {}
  const std::string& of(base::PersonId person);

 private:
  const store::Reader* reader_;
  std::map<std::int64_t, std::string> known_;
};

}  // namespace throughcure::desk
