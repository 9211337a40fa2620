#include "throughcure/desk/names.hpp"

#include "throughcure/practice/person.hpp"

namespace throughcure::desk {

const std::string& Names::of(base::PersonId person) {
  const auto [at, is_new] = known_.try_emplace(person.number);
  if (is_new) {
    const auto kept = reader_->get<practice::Person>(person);
    at->second = kept ? kept->record.name : "nobody known";
  }
  return at->second;
}

}  // namespace throughcure::desk
