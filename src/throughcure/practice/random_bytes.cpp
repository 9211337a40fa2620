#include "throughcure/practice/random_bytes.hpp"

#include <sodium.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::practice {

void fill_with_random(std::span<std::uint8_t> bytes) {
  if (sodium_init() < 0) throw base::Failure("the system gives no random numbers, so nothing private can be kept");
  randombytes_buf(bytes.data(), bytes.size());
}

}  // namespace throughcure::practice
