#include "throughcure/practice/commitment.hpp"

#include <string_view>

#include "throughcure/practice/random_bytes.hpp"

namespace throughcure::practice {

namespace {

constexpr std::string_view kLabel = "throughcure private 1\n";

}  // namespace

Salt random_salt() {
  Salt salt{};
  fill_with_random(salt);
  return salt;
}

Commitment commit(const Opening& opening) { return {sha256({kLabel, bytes_of(opening.salt), opening.value})}; }

bool opens(const Commitment& commitment, const Opening& opening) { return commit(opening) == commitment; }

}  // namespace throughcure::practice
