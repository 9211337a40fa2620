// Bytes that nobody can guess.
#pragma once

#include <cstdint>
#include <span>

namespace throughcure::practice {

/// Fills it from the system's source. Throws base::Failure when the system has none to give.
void fill_with_random(std::span<std::uint8_t> bytes);

}  // namespace throughcure::practice
